//! What does the record mean to the user?

mod application;
mod boom;
mod circulation;
mod drool;
mod fast_stop;
mod held;
mod losses;
mod priming;
mod pumps;
mod rinse;
mod sections;
mod spraying;
mod standing;
mod tips;
mod verdicts;
mod warnings;

pub use circulation::Circulation;
pub use drool::{Drool, pushed_out_m3};
pub use rinse::Rinse;
pub use standing::Standing;

pub use spraying::{
    Application, BoomFinding, DeadLeg, HeldFinding, LossFinding, Measure, Priming, PumpDuty,
    SectionFinding, SectionPriming, StepFindings, TipFinding, Verdict, Warning, Window,
};

use crate::scenario::Scenario;
use crate::simulation::StepRecord;

/// The findings of step number `step` of `scenario`, from its record.
pub fn of_step(scenario: &Scenario, step: usize, record: &StepRecord) -> StepFindings {
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
