//! Limits, met or not.

use super::page::Page;
use crate::columns::cells;
use crate::words::shown;
use sim_core::findings::{StepFindings, Verdict};
use sim_core::units::UnitSystem;

pub(super) fn table(out: &mut Page, findings: &StepFindings, units: UnitSystem) {
    if findings.verdicts.is_empty() {
        return;
    }
    let row = |verdict: &Verdict| {
        vec![
            if verdict.met { "met" } else { "NOT met" }.to_owned(),
            verdict.meaning.to_owned(),
            verdict.place.clone().unwrap_or_default(),
            shown(verdict.unit, verdict.value, units),
            shown(verdict.unit, verdict.at_most, units),
            verdict.source.clone(),
        ]
    };
    let rows: Vec<Vec<String>> = findings.verdicts.iter().map(row).collect();
    let header = cells(["", "limit on", "worst at", "value", "at most", "demanded by"]);
    out.table("Limits", header, rows, 3);
}
