//! A step in words.

use super::limits;
use sim_core::findings::StepFindings;

/// How many limits are met.
pub fn judged(findings: &StepFindings) -> String {
    let unmet = findings.verdicts.iter().filter(|verdict| !verdict.met).count();
    match (findings.verdicts.len(), unmet) {
        (0, _) => "no limit applies".to_owned(),
        (all, 0) => format!("{} met", limits(all)),
        (all, unmet) if unmet == all => format!("{} NOT met", limits(all)),
        (all, unmet) => format!("{unmet} of {all} limits NOT met"),
    }
}

/// How many limits a run does not meet, of how many.
pub fn limits_missed(findings: &[StepFindings]) -> String {
    let verdicts = || findings.iter().flat_map(|step| &step.verdicts);
    format!("{} of {}", verdicts().filter(|verdict| !verdict.met).count(), verdicts().count())
}
