//! A step in words.

use sim_core::findings::StepFindings;
use sim_core::procedure::{Action, Step};

/// Whether there is something to tell of `step` by itself: of passes in the middle of a repeat and of parts of a
/// purge but its last there is not.
pub(crate) fn is_reported(step: &Step, findings: &StepFindings) -> bool {
    !step.is_middle_pass() && (step.action != Action::Purge || findings.purge.is_some())
}

/// How many limits are met.
pub(crate) fn judged(findings: &StepFindings) -> String {
    let unmet = findings.verdicts.iter().filter(|verdict| !verdict.met).count();
    match (findings.verdicts.len(), unmet) {
        (0, _) => "no limit applies".to_owned(),
        (all, 0) => format!("all {all} limits met"),
        (all, unmet) => format!("{unmet} of {all} limits NOT met"),
    }
}
