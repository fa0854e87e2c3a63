//! What runs out of capped ends after shut-off, pushed by trapped air.

use super::dead_legs::DeadLeg;
use super::measured::Measures;
use super::named::Named;
use crate::fluids::{AbsolutePressure, GaugePressure};
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::measures::Measure;
use crate::plumbing::{BranchId, Plumbing, ShutOff};
use schemars::JsonSchema;
use serde::Serialize;

/// What capped ends push out after shut-off if the air of the first filling is still in them.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AfterDrip {
    /// What all ends push out together.
    pub volume_m3: f64,
    /// Pressure down to which tips run on, gauge: where their check valves reseat, or none.
    pub stops_at_pa: f64,
    /// Each capped end.
    pub ends: Vec<DrippingEnd>,
}

impl AfterDrip {
    /// Its measures.
    pub(super) fn measure(&self, found: &mut Measures) {
        found.add(Measure::AfterDrip, self.volume_m3);
    }
}

/// A capped end with trapped air.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DrippingEnd {
    /// Which line.
    pub line: Named<BranchId>,
    /// What it pushes out.
    pub volume_m3: f64,
}

/// Volume that `air_m3` (at atmospheric pressure) pushes out while the pressure falls from `from_pa` to
/// `to_pa` (gauge): `V0 p0 (1/p2 - 1/p1)`, isothermal (Boyle 1662).
pub fn pushed_out_m3(air_m3: f64, from_pa: f64, to_pa: f64) -> f64 {
    let at =
        |pa: f64| air_m3 * AbsolutePressure::ATMOSPHERE.pa / GaugePressure { pa }.absolute().pa;
    (at(to_pa) - at(from_pa)).max(0.0)
}

/// What the ends of `legs` would push out after the spraying at `end`; `None` where every tip closes for
/// itself or nothing sprays.
pub(super) fn after_drip(
    plumbing: &Plumbing,
    end: &FlowState,
    legs: &[DeadLeg],
) -> Option<AfterDrip> {
    let sprays = end.tip_flow_m3_s.iter().any(|flow| *flow > STILL_M3_S);
    let reseats = plumbing.tips.iter().map(|tip| match tip.shut_off {
        ShutOff::Each => None,
        ShutOff::Open => Some(0.0),
        ShutOff::CheckValve { reseats_at_pa, .. } => Some(reseats_at_pa),
    });
    let stops_at_pa = reseats.flatten().reduce(f64::min).filter(|_| sprays && !legs.is_empty())?;
    let of = |leg: &DeadLeg| {
        let branch = plumbing.branch(leg.line.id);
        let pressures = [branch.from, branch.to].map(|node| end.static_pressure_pa[node.index()]);
        let from_pa = pressures[0].max(pressures[1]);
        let volume_m3 = pushed_out_m3(leg.volume_m3, from_pa, stops_at_pa);
        DrippingEnd { line: leg.line.clone(), volume_m3 }
    };
    let ends: Vec<DrippingEnd> = legs.iter().map(of).collect();
    Some(AfterDrip { volume_m3: ends.iter().map(|end| end.volume_m3).sum(), stops_at_pa, ends })
}
