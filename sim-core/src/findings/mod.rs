//! What does the record mean to the user?

mod application;
mod boom;
mod held;
mod losses;
mod priming;
mod pumps;
mod sections;
mod spraying;
mod tips;
mod verdicts;
mod warnings;

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
    let mut findings = StepFindings {
        sections: sections::sections(plumbing, end, &tips, &held),
        losses: losses::losses(scenario, end, &pumps),
        application: application::application(scenario, &tips),
        priming: priming::priming(scenario, record),
        pumps,
        held,
        tips,
        boom,
        verdicts: Vec::new(),
        warnings: Vec::new(),
    };
    findings.verdicts = verdicts::verdicts(scenario, &findings);
    findings.warnings = warnings::warnings(scenario, step, end, &findings);
    findings
}
