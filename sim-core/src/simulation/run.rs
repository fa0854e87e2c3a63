//! From a scenario to its record.

use super::air_steps::AirSteps;
use super::balance::imbalance;
use super::error::RunError;
use super::flow::Flow;
use super::march::March;
use super::record::{Ended, Record, StepRecord};
use crate::fluids::GaugePressure;
use crate::hydraulics::{Instant, Notice};
use crate::plumbing::NodeId;
use crate::procedure::Step;
use crate::scenario::Scenario;
use crate::transport::Contents;

/// Imbalance above which a step is not trusted.
const MOST_IMBALANCE: f64 = 1e-8;

/// Samples kept of a whole run, and of one step where there are many or few.
const MOST_SAMPLES: usize = 2000;
const SAMPLES_A_STEP: (usize, usize) = (24, 400);
/// Values of lines and parts that samples may keep in all, and samples of a step however many that makes.
const MOST_SAMPLED: usize = 20_000_000;
const FEWEST_SAMPLES: usize = 4;

/// Runs every step of `scenario` in order.
///
/// # Errors
/// A [`RunError`] naming the step and place where no result can be trusted.
pub fn run(scenario: &Scenario) -> Result<Record, RunError> {
    run_watched(scenario, &mut |_| {})
}

/// The same; calls `progress` with the number of each step that begins.
///
/// # Errors
/// A [`RunError`] naming the step and place where no result can be trusted.
pub fn run_watched(
    scenario: &Scenario,
    progress: &mut dyn FnMut(usize),
) -> Result<Record, RunError> {
    scenario.check()?;
    let (lines, tanks) = (scenario.start.lines_hold, scenario.start.tanks_hold);
    let lasting = scenario.steps.iter().filter(|step| step.lasts.is_some()).count().max(1);
    let parts = scenario.plumbing.branches.len().max(1);
    let usual = (MOST_SAMPLES / lasting).clamp(SAMPLES_A_STEP.0, SAMPLES_A_STEP.1);
    let mut march = March {
        scenario,
        flow: Flow::new(scenario),
        contents: Contents::new(&scenario.plumbing, &scenario.liquid, scenario.model, lines, tanks),
        time_s: 0.0,
        liquid: Instant::at_rest(&scenario.plumbing),
        air_steps: AirSteps::default(),
        most_samples: usual.min((MOST_SAMPLED / (parts * lasting)).max(FEWEST_SAMPLES)),
    };
    march.charge_and_empty();
    let mut record = Record::default();
    for (i, step) in scenario.steps.iter().enumerate() {
        progress(i);
        record.steps.push(one_step(&mut march, step)?);
    }
    Ok(record)
}

fn one_step(march: &mut March<'_>, step: &Step) -> Result<StepRecord, RunError> {
    let scenario = march.scenario;
    let end = march.flow.steady(step).map_err(|source| RunError::unsolved(step, source))?;
    check_boiling(scenario, &step.name, &end)?;
    let imbalance = imbalance(&scenario.plumbing, &end);
    let (start_s, mut worst) = (march.time_s, imbalance);
    let (moved, end) = match step.lasts {
        None => (None, end),
        Some(lasts) => {
            let moved = march.step(step, lasts, end.clone())?;
            let air = moved.air.as_ref().map_or(0.0, |air| air.error);
            worst = worst.max(moved.product_error).max(moved.liquid_error).max(air);
            let now = match (moved.settled_flow, &moved.air) {
                (_, Some(_)) => march.end_air(step, &end),
                (true, None) => end,
                (false, None) => march.flow.on_the_way_to(&end),
            };
            if matches!(moved.ended, Ended::TankEmpty(_)) {
                march.flow.lose_prime();
            }
            (Some(moved), now)
        }
    };
    if worst > MOST_IMBALANCE {
        return Err(RunError::Unbalanced { step: step.name.clone(), imbalance: worst });
    }
    Ok(StepRecord { end, imbalance, start_s, end_s: march.time_s, moved })
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
        absolute: GaugePressure { pa: pressure(&lowest) }.absolute(),
        liquid: scenario.liquid.name.clone(),
        vapour: scenario.liquid.vapour_pressure,
    })
}
