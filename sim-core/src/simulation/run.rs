//! From a machine and what is done with it to the record.

use super::air_steps::AirSteps;
use super::balance::imbalance;
use super::error::RunError;
use super::flow::Flow;
use super::march::March;
use super::record::{Ended, Record, StepRecord};
use crate::fluids::GaugePressure;
use crate::hydraulics::{FlowState, Notice};
use crate::plumbing::{Machine, NodeId};
use crate::procedure::{Course, Step};
use crate::transport::Contents;

/// Imbalance above which a step is not trusted.
const MOST_IMBALANCE: f64 = 1e-8;

/// Samples kept of a whole run, and of one step where there are many or few.
const MOST_SAMPLES: usize = 2000;
const SAMPLES_A_STEP: (usize, usize) = (24, 400);
/// Values of lines and parts that samples may keep in all, and samples of a step however many that makes.
const MOST_SAMPLED: usize = 20_000_000;
const FEWEST_SAMPLES: usize = 4;

/// Runs every step of `course` on `machine` in order.
///
/// # Errors
/// A [`RunError`] naming the step and place where no result can be trusted.
pub fn run(machine: &Machine, course: &Course) -> Result<Record, RunError> {
    run_watched(machine, course, &mut |_, _| {})
}

/// The same; calls `progress` with the number of the step under way and the share of its longest time that has passed, at
/// its beginning and after each of its moves.
///
/// # Errors
/// A [`RunError`] naming the step and place where no result can be trusted.
pub fn run_watched(
    machine: &Machine,
    course: &Course,
    progress: &mut dyn FnMut(usize, f64),
) -> Result<Record, RunError> {
    machine.check()?;
    let plumbing = &machine.plumbing;
    course.check(plumbing)?;
    let (lines, tanks) = (course.start.lines_hold, course.start.tanks_hold);
    let lasting = course.steps.iter().filter(|step| step.lasts.is_some()).count().max(1);
    let parts = plumbing.branches.len().max(1);
    let usual = (MOST_SAMPLES / lasting).clamp(SAMPLES_A_STEP.0, SAMPLES_A_STEP.1);
    let can_keep = (MOST_SAMPLED / (parts * lasting)).max(FEWEST_SAMPLES);
    let mut march = March {
        plumbing,
        course,
        flow: Flow::new(plumbing, course),
        contents: Contents::new(plumbing, &course.liquid, course.model, lines, tanks),
        time_s: 0.0,
        liquid: FlowState::at_rest(plumbing),
        air_steps: AirSteps::within(course.model.air_tolerance),
        parted_s: 0.0,
        most_samples: course.record.most_moments.unwrap_or(usual.min(can_keep)),
    };
    march.charge_and_empty();
    let mut record = Record::default();
    for (i, step) in course.steps.iter().enumerate() {
        progress(i, 0.0);
        record.steps.push(one_step(&mut march, step, &mut |share| progress(i, share))?);
    }
    Ok(record)
}

fn one_step(
    march: &mut March<'_>,
    step: &Step,
    progress: &mut dyn FnMut(f64),
) -> Result<StepRecord, RunError> {
    let end = march.flow.steady(step).map_err(|source| RunError::unsolved(step, source))?;
    check_boiling(march, &step.name, &end)?;
    if march.time_s == 0.0 && march.begins_flowing(step) {
        march.flow.establish(step, &end);
    }
    let imbalance = imbalance(march.plumbing, &end);
    let (start_s, mut worst) = (march.time_s, imbalance);
    let (moved, end) = match step.lasts {
        None => (None, end),
        Some(lasts) => {
            let moved = march.step(step, lasts, end.clone(), progress)?;
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
fn check_boiling(march: &March<'_>, step: &str, end: &FlowState) -> Result<(), RunError> {
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
        place: march.plumbing.node(lowest).name.clone(),
        absolute: GaugePressure { pa: pressure(&lowest) }.absolute(),
        liquid: march.course.liquid.name.clone(),
        vapour: march.course.liquid.vapour_pressure,
    })
}
