//! From a scenario to its record.

use super::balance::imbalance;
use super::march::march;
use super::record::{Record, StepRecord};
use crate::fluids::ATMOSPHERE_PA;
use crate::hydraulics::{Instant, Notice, SolveError, Solver};
use crate::plumbing::NodeId;
use crate::scenario::Scenario;
use crate::transport::{Contents, TransportOptions};

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
    #[error(
        "step \"{step}\": liquid or product does not balance (by {imbalance:.1e} of what flows)"
    )]
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
    let options = TransportOptions {
        dispersion: scenario.model.dispersion,
        laminar_tail: scenario.model.laminar_tail,
    };
    let start = scenario.start;
    let mut contents =
        Contents::new(&scenario.plumbing, start.lines_hold, start.tanks_hold, options);
    let mut record = Record::default();
    let mut time = 0.0;
    for step in &scenario.steps {
        let end = solver
            .solve(&step.settings, &step.controls)
            .map_err(|source| RunError::Unsolved { step: step.name.clone(), source })?;
        check_boiling(scenario, &step.name, &end)?;
        let imbalance = imbalance(&scenario.plumbing, &end);
        if imbalance > MOST_IMBALANCE {
            return Err(RunError::Unbalanced { step: step.name.clone(), imbalance });
        }
        let (moved, lasted) = match step.lasts {
            None => (None, 0.0),
            Some(lasts) => {
                contents.set_flows(&scenario.liquid, &end);
                let (moved, lasted) =
                    march(&scenario.plumbing, &mut contents, &end, lasts, start.full_from);
                if moved.product_error > MOST_IMBALANCE {
                    let imbalance = moved.product_error;
                    return Err(RunError::Unbalanced { step: step.name.clone(), imbalance });
                }
                (Some(moved), lasted)
            }
        };
        let (start_s, end_s) = (time, time + lasted);
        time = end_s;
        record.steps.push(StepRecord { end, imbalance, start_s, end_s, moved });
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
