//! What does the record mean to the user?
//!
//! [`of_run`] turns the record of a scenario's run into numbers with verdicts: operating point, evenness, losses,
//! priming, circulation, rinse, standing, filling, purge, limits, warnings. Definitions stand in `docs/theory/findings.md`.

mod application;
mod boom;
mod circulation;
mod drool;
mod fast_stop;
mod filling;
mod held;
mod losses;
mod priming;
mod pumps;
mod purge;
mod purge_cautions;
mod rinse;
mod sections;
mod standing;
mod step;
mod tips;
mod verdicts;
mod warnings;

pub use circulation::Circulation;
pub use drool::{Drool, pushed_out_m3};
pub use filling::Filling;
pub use purge::{Purge, add_purges};
pub use rinse::Rinse;
pub use standing::Standing;
pub use step::{
    Application, BoomFinding, DeadLeg, HeldFinding, LossFinding, Measure, Priming, PumpDuty,
    SectionFinding, SectionPriming, StepFindings, TipFinding, Verdict, Warning, Window,
};

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

/// The findings of step number `step` of `scenario`, from its record.
pub fn of_step(scenario: &Scenario, step: usize, record: &StepRecord) -> StepFindings {
    if scenario.steps[step].action == Action::Purge {
        // Nothing flows steadily: `add_purges` says what the whole of it did.
        return StepFindings::default();
    }
    let plumbing = &scenario.plumbing;
    let (settings, end) = (&scenario.steps[step].settings, &record.end);
    let held = held::held(plumbing, &scenario.steps[step].controls, end);
    let tips = tips::tips(scenario, settings, end, &held);
    let boom = boom::boom(plumbing, &tips);
    let pumps = pumps::pumps(scenario, settings, end, &scenario.steps[step].controls);
    let legs = priming::dead_legs(scenario, record);
    let moved = record.moved.as_ref();
    let mut findings = StepFindings {
        circulation: circulation::circulation(scenario, record),
        drool: Some(&legs)
            .filter(|_| scenario.steps[step].action.sprays())
            .and_then(|legs| drool::drool(plumbing, end, legs)),
        rinse: rinse::rinse(scenario, step, record, priming::strength_of(&legs)),
        standing: standing::standing(scenario, record),
        filling: Some(record)
            .filter(|_| scenario.steps[step].action != Action::Stand)
            .and_then(|record| filling::filling(plumbing, record)),
        purge: None,
        sections: sections::sections(plumbing, end, &tips, &held),
        losses: losses::losses(scenario, end, &pumps),
        application: application::application(scenario, &tips),
        priming: moved.and_then(|moved| priming::priming(scenario, step, record, moved, legs)),
        pumps,
        held,
        tips,
        boom,
        verdicts: Vec::new(),
        warnings: Vec::new(),
    };
    findings.verdicts = verdicts::verdicts(scenario, &findings);
    findings.warnings = warnings::warnings(scenario, step, end, &findings);
    findings.warnings.extend(moved.and_then(|moved| fast_stop::fast_stop(scenario, step, moved)));
    findings
}
