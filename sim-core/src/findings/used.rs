//! What a run uses up that does no work on the field.

use super::{Residual, StepFindings};
use crate::plumbing::Plumbing;
use crate::procedure::{Action, Course};
use crate::simulation::{Record, StepRecord};

/// What one run of a course uses up. Product is given as volume at full strength.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Used {
    /// Product in what is sprayed below full strength; what rinses spray is left out.
    pub under_dosed_product_m3: f64,
    /// Product that purges lose through tips.
    pub lost_product_m3: f64,
    /// Product in lines and dead legs at the end, settled or not; that of the suction side left out.
    pub in_lines_product_m3: f64,
    /// Water drawn from tanks that hold no product at the start, of those whose volume is known.
    pub water_m3: f64,
    /// How long steps last in which no tip sprays full strength, and others until every tip does, s.
    pub time_s: f64,
    /// Whether the machine is then put away: the last step that lasts rinses, purges or stands.
    pub put_away: bool,
}

/// What the run of `course` on `plumbing` that left `record` and `findings` used up; `None` where no step lasts.
pub fn used(
    plumbing: &Plumbing,
    course: &Course,
    record: &Record,
    findings: &[StepFindings],
) -> Option<Used> {
    let last = record.steps.iter().rposition(|step| step.moved.is_some())?;
    let action = course.steps[last].action;
    let priming = findings.iter().filter_map(|step| step.priming.as_ref());
    let purges = findings.iter().filter_map(|step| step.purge.as_ref());
    let settled_m3 = findings[last].outcome.as_ref().map_or(0.0, |outcome| outcome.settled_m3);
    let times = course.steps.iter().zip(findings);
    Some(Used {
        under_dosed_product_m3: priming.map(|priming| priming.under_dosed_product_m3).sum(),
        lost_product_m3: purges.map(|purge| purge.lost_product_m3).sum(),
        in_lines_product_m3: settled_m3 + in_lines_m3(plumbing, &record.steps[last]),
        water_m3: water_m3(plumbing, course, &findings[last]),
        time_s: times.map(|(step, found)| idle_s(step.action, found)).sum(),
        put_away: matches!(action, Action::Rinse | Action::Purge | Action::Stand),
    })
}

/// How long a step does no work on the field, s.
fn idle_s(action: Action, found: &StepFindings) -> f64 {
    let Some(outcome) = &found.outcome else { return 0.0 };
    match (action, &found.priming) {
        (Action::Spray | Action::Prime, Some(priming)) => {
            priming.all_full_s.unwrap_or(outcome.lasted_s).min(outcome.lasted_s)
        }
        _ => outcome.lasted_s,
    }
}

/// Product afloat in lines after the pump at the end of a step that lasts, m3.
fn in_lines_m3(plumbing: &Plumbing, step: &StepRecord) -> f64 {
    let Some(moved) = &step.moved else { return 0.0 };
    let suction = plumbing.suction_lines();
    let own = |i: usize| !suction[i];
    if let Some(air) = &moved.air {
        let lines = air.left.iter().enumerate().filter(|(i, _)| own(*i));
        return lines.map(|(_, left)| Residual::from(left).product_m3).sum();
    }
    let lines = moved.line_concentration.iter().enumerate().filter(|(i, _)| own(*i));
    let held = lines
        .filter_map(|(i, held)| Some(plumbing.branches[i].part.line()?.volume_m3() * (*held)?));
    held.sum()
}

/// What tanks of water hold less at the end of the step that `last` is of than at the start, m3.
fn water_m3(plumbing: &Plumbing, course: &Course, last: &StepFindings) -> f64 {
    let Some(outcome) = &last.outcome else { return 0.0 };
    let drawn = plumbing.tanks.iter().zip(&outcome.tanks).filter_map(|(tank, end)| {
        let holds_water = tank.concentration.unwrap_or(course.start.tanks_hold) == 0.0;
        let start_m3 = tank.holds_m3.filter(|_| holds_water)?;
        Some((start_m3 - end.holds_m3?).max(0.0))
    });
    drawn.sum()
}
