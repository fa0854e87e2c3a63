//! Whether limits are met.

use super::measured::{Measured, Place};
use crate::measures::{Limit, Limits, Measure};
use crate::plumbing::Machine;
use schemars::JsonSchema;
use serde::Serialize;

/// How a limit came out.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Verdict {
    /// What is limited; the unit of its value ends it.
    pub measure: Measure,
    /// The value found; of a time that was not reached, more than it was waited for and more than the limit.
    pub value: f64,
    /// Whether it was reached.
    pub reached: bool,
    /// The largest value that meets the limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
    /// The smallest value that meets the limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_least: Option<f64>,
    /// Where the worst value is, if one place has it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
    /// Who demands it.
    pub source: String,
    /// Whether it is met.
    pub met: bool,
}

/// `limits` on what was `measured`.
pub(super) fn verdicts(limits: &Limits, measured: &[Measured]) -> Vec<Verdict> {
    let judged = measured.iter().filter_map(|one| Some(verdict(one, limits.on(one.measure)?)));
    judged.collect()
}

/// `limit` on what was measured.
fn verdict(measured: &Measured, limit: &Limit) -> Verdict {
    let reached = measured.reached;
    let beyond = limit.at_most.map_or(0.0, |most| most * (1.0 + 1e-9));
    Verdict {
        measure: measured.measure,
        value: if reached { measured.value } else { measured.value.max(beyond) },
        reached,
        at_most: limit.at_most,
        at_least: limit.at_least,
        place: measured.place.clone(),
        source: limit.source.clone(),
        met: limit.met(if reached { measured.value } else { f64::INFINITY }),
    }
}

/// Residual a boom sprayer may keep: share of its tank and volume for each metre of boom, m3 (ISO 16119-2, from
/// memory).
const RESIDUAL: (f64, f64) = (0.005, 2e-3);

/// What the standard demands of the residual of a purge, if tank and width are known.
pub(super) fn of_residual(machine: &Machine, measured: &[Measured]) -> Option<Verdict> {
    let plumbing = &machine.plumbing;
    let capacity_m3 = plumbing.tank(machine.roles.tank?).capacity_m3?;
    let places = || plumbing.tips.iter().map(|tip| tip.x_m);
    let width_m = places().reduce(f64::max)? - places().reduce(f64::min)?;
    let most_m3 = RESIDUAL.0 * capacity_m3 + RESIDUAL.1 * width_m;
    let limit = Limit::up_to(Measure::PurgeResidual, most_m3, "ISO 16119-2, from memory");
    let residual = measured.iter().find(|one| one.measure == Measure::PurgeResidual)?;
    (width_m > 0.0).then(|| verdict(residual, &limit))
}
