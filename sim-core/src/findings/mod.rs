//! What does the record mean to the user?
//!
//! [`of_run`] turns the record of a scenario's run into numbers with verdicts: operating point, evenness, losses,
//! priming, circulation, rinse, standing, filling, purge, limits, warnings. Each type stands with what fills it and
//! carries the names that files show; definitions are in `docs/theory/findings.md`.

mod after_drip;
mod application;
mod boom;
mod circulation;
mod controls;
mod dead_legs;
mod fast_stop;
mod filling;
mod losses;
mod named;
mod outcome;
mod priming;
mod pumps;
mod purge;
mod purge_cautions;
mod residual;
mod rinse;
mod sections;
mod standing;
mod step;
mod tips;
mod verdict;
mod verdicts;
mod warning;
mod warnings;

pub use after_drip::{AfterDrip, DrippingEnd, pushed_out_m3};
pub use application::Application;
pub use boom::BoomFinding;
pub use circulation::{CheckValves, Circulation, LineVelocity, SlowLine};
pub use controls::{ControlFinding, Controlled};
pub use dead_legs::DeadLeg;
pub use filling::{Filling, LineAir, SectionFilling};
pub use losses::LossFinding;
pub use named::Named;
pub use outcome::{End, Outcome, TankFinding};
pub use priming::{Priming, SectionPriming, TipPriming};
pub use pumps::PumpDuty;
pub use purge::{Breakthrough, NodePressure, OpenedTips, Purge, RatingUse, ReceiverFinding};
pub use residual::{LineResidual, Residual};
pub use rinse::{Rinse, TipConcentration};
pub use sections::SectionFinding;
pub use standing::Standing;
pub use step::StepFindings;
pub use tips::{TipFinding, Window};
pub use verdict::{Measure, Verdict};
pub use warning::Warning;

use crate::procedure::Action;
use crate::scenario::Scenario;
use crate::simulation::{Record, StepRecord};

/// The findings of every step of `scenario`, from its record.
pub fn of_run(scenario: &Scenario, record: &Record) -> Vec<StepFindings> {
    let steps = record.steps.iter().enumerate();
    let mut findings: Vec<StepFindings> =
        steps.map(|(i, step)| of_step(scenario, i, step)).collect();
    add_purges(scenario, record, &mut findings);
    findings
}

/// Adds to the findings of the last step of each purge what the whole of it did.
fn add_purges(scenario: &Scenario, record: &Record, findings: &mut [StepFindings]) {
    let mut at = 0;
    for steps in scenario.course.steps.chunk_by(|a, b| a.action == b.action) {
        let range = at..at + steps.len();
        at = range.end;
        if steps[0].action != Action::Purge {
            continue;
        }
        if let Some(purge) = purge::purge(scenario, record, range) {
            let last = &mut findings[at - 1];
            last.warnings.extend(purge_cautions::cautions(scenario, &purge));
            last.verdicts.extend(verdicts::of_purge(scenario, &purge));
            last.purge = Some(purge);
        }
    }
}

/// The findings of step number `step` of `scenario`, from its record.
pub fn of_step(scenario: &Scenario, step: usize, record: &StepRecord) -> StepFindings {
    let (plumbing, number, step) = (&scenario.machine.plumbing, step, &scenario.course.steps[step]);
    let end = &record.end;
    let controls = controls::controls(plumbing, &step.controls, end);
    let mut findings = StepFindings {
        outcome: outcome::outcome(plumbing, record),
        tips: tips::tips(scenario, step, record, &controls),
        ..StepFindings::default()
    };
    if step.action == Action::Purge {
        // Nothing flows steadily: `add_purges` says what the whole of it did.
        return findings;
    }
    findings.boom = boom::boom(&findings.tips);
    findings.pumps = pumps::pumps(scenario, &step.settings, end, &step.controls);
    findings.sections = sections::sections(plumbing, end, &findings.tips, &controls);
    findings.losses = losses::losses(scenario, end, &findings.pumps);
    findings.application = application::application(scenario, &findings.tips);
    findings.circulation = circulation::circulation(scenario, record);
    findings.standing = standing::standing(scenario, record);
    findings.controls = controls;
    if step.action != Action::Stand {
        findings.filling = filling::filling(plumbing, record);
    }
    let legs = dead_legs::dead_legs(plumbing, record);
    if step.action.sprays() {
        findings.after_drip = after_drip::after_drip(plumbing, end, &legs);
    }
    let moved = record.moved.as_ref();
    findings.rinse = rinse::rinse(scenario, number, record, dead_legs::concentration_of(&legs));
    findings.priming =
        moved.and_then(|moved| priming::priming(scenario, number, record, moved, legs));
    findings.verdicts = verdicts::verdicts(scenario, &findings);
    findings.warnings = warnings::warnings(scenario, number, end, &findings);
    findings.warnings.extend(moved.and_then(|moved| fast_stop::fast_stop(scenario, number, moved)));
    findings
}
