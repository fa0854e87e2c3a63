//! From a scenario to its record.

use super::balance::imbalance;
use super::record::{Record, StepRecord};
use crate::fluids::ATMOSPHERE_PA;
use crate::hydraulics::{Instant, Notice, SolveError, Solver};
use crate::plumbing::NodeId;
use crate::scenario::Scenario;

/// Why a run gives no result to trust.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RunError {
    /// A step has no solution.
    #[error("step \"{step}\": {source}")]
    Unsolved {
        /// Name of the step.
        step: String,
        /// What the solver says.
        source: SolveError,
    },
    /// Liquid is lost or made somewhere.
    #[error("step \"{step}\": flows do not balance (by {imbalance:.1e} of the largest flow)")]
    Unbalanced {
        /// Name of the step.
        step: String,
        /// Largest imbalance over the largest flow.
        imbalance: f64,
    },
    /// The liquid would boil: the model of a full line does not hold.
    #[error(
        "step \"{step}\": at {place} the absolute pressure would fall to {absolute_pa:.0} Pa, below \
         the vapour pressure of {liquid} ({vapour_pa:.0} Pa); the liquid would boil there and the \
         pump lose its prime, so no figure of this step can be trusted"
    )]
    Boils {
        /// Name of the step.
        step: String,
        /// Name of the node with the lowest pressure.
        place: String,
        /// The pressure a full line would need there, Pa absolute.
        absolute_pa: f64,
        /// Name of the liquid.
        liquid: String,
        /// Its vapour pressure, Pa absolute.
        vapour_pa: f64,
    },
}

/// Imbalance above which a step is not trusted.
const MOST_IMBALANCE: f64 = 1e-8;

/// Runs every step of `scenario` in order.
///
/// # Errors
/// A [`RunError`] naming the step and place where no result can be trusted.
pub fn run(scenario: &Scenario) -> Result<Record, RunError> {
    let mut solver = Solver::new(&scenario.plumbing, &scenario.liquid, scenario.model);
    let mut record = Record::default();
    for step in &scenario.steps {
        let end = solver
            .solve(&step.settings, &step.controls)
            .map_err(|source| RunError::Unsolved { step: step.name.clone(), source })?;
        check_boiling(scenario, &step.name, &end)?;
        let imbalance = imbalance(&scenario.plumbing, &end);
        if imbalance > MOST_IMBALANCE {
            return Err(RunError::Unbalanced { step: step.name.clone(), imbalance });
        }
        record.steps.push(StepRecord { end, imbalance });
    }
    Ok(record)
}

/// An error if any node stands below vapour pressure, naming the lowest.
fn check_boiling(scenario: &Scenario, step: &str, end: &Instant) -> Result<(), RunError> {
    let boiling = end.notices.iter().filter_map(|notice| match notice {
        Notice::BelowVapourPressure(node) => Some(*node),
        _ => None,
    });
    let pressure = |node: &NodeId| end.static_pressure_pa[node.index()];
    let Some(lowest) = boiling.min_by(|a, b| pressure(a).total_cmp(&pressure(b))) else {
        return Ok(());
    };
    Err(RunError::Boils {
        step: step.into(),
        place: scenario.plumbing.node(lowest).name.clone(),
        absolute_pa: pressure(&lowest) + ATMOSPHERE_PA,
        liquid: scenario.liquid.name.clone(),
        vapour_pa: scenario.liquid.vapour_pressure_pa,
    })
}
