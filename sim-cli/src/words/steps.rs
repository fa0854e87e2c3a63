//! A step in words.

use sim_core::findings::StepFindings;

/// How many limits are met.
pub(crate) fn judged(findings: &StepFindings) -> String {
    let unmet = findings.verdicts.iter().filter(|verdict| !verdict.met).count();
    match (findings.verdicts.len(), unmet) {
        (0, _) => "no limit applies".to_owned(),
        (all, 0) => format!("all {all} limits met"),
        (all, unmet) => format!("{unmet} of {all} limits NOT met"),
    }
}
