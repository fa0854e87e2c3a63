//! Capped stretches beside the stream.

use super::named::Named;
use super::ranking::largest_first;
use crate::plumbing::{BranchId, Plumbing, Topology};
use crate::simulation::StepRecord;
use schemars::JsonSchema;
use serde::Serialize;

/// A capped stretch beside the stream.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DeadLeg {
    /// Which line.
    pub line: Named<BranchId>,
    /// Its volume.
    pub volume_m3: f64,
    /// Its length in bores.
    pub length_bores: f64,
    /// Its mean concentration at the end of the step.
    pub concentration: f64,
    /// When it was at full strength, after the step's start.
    pub full_s: Option<f64>,
}

/// Mean concentration of `legs` by volume, if there are any.
pub(super) fn concentration_of(legs: &[DeadLeg]) -> Option<f64> {
    let volume: f64 = legs.iter().map(|leg| leg.volume_m3).sum();
    let product: f64 = legs.iter().map(|leg| leg.volume_m3 * leg.concentration).sum();
    (volume > 0.0).then(|| product / volume)
}

/// Capped stretches, the largest first.
pub(super) fn dead_legs(plumbing: &Plumbing, record: &StepRecord) -> Vec<DeadLeg> {
    let moved = record.moved.as_ref();
    let leg = |id: BranchId| {
        let branch = plumbing.branch(id);
        let line = branch.part.line()?;
        Some(DeadLeg {
            line: Named::new(id, &branch.name),
            volume_m3: line.volume_m3(),
            length_bores: line.length_m / line.bore_m,
            concentration: moved.and_then(|m| m.line_concentration[id.index()]).unwrap_or(0.0),
            full_s: moved.and_then(|m| m.leg_full_s[id.index()]),
        })
    };
    let mut legs: Vec<DeadLeg> = Topology::of(plumbing).dead_legs().filter_map(leg).collect();
    legs.sort_by(|a, b| largest_first((a.volume_m3, &a.line.name), (b.volume_m3, &b.line.name)));
    legs
}
