//! Limits, met or not.

use super::grid::cells;
use super::page::Page;
use crate::velocity::show_velocity;
use sim_core::findings::{Measure, StepFindings, Verdict};
use sim_core::units::{Quantity as Q, UnitSystem, show};

pub(super) fn table(out: &mut Page, findings: &StepFindings, units: UnitSystem) {
    if findings.verdicts.is_empty() {
        return;
    }
    let row = |verdict: &Verdict| {
        vec![
            if verdict.met { "met" } else { "NOT met" }.to_owned(),
            verdict.meaning.to_owned(),
            verdict.place.clone().unwrap_or_default(),
            shown(verdict.measure, verdict.value, units),
            shown(verdict.measure, verdict.at_most, units),
            verdict.source.clone(),
        ]
    };
    let rows: Vec<Vec<String>> = findings.verdicts.iter().map(row).collect();
    let header = cells(["", "limit on", "worst at", "value", "at most", "demanded by"]);
    out.table("Limits", header, rows, 3);
}

/// `value` of a limit as people read it.
pub(crate) fn shown(measure: Measure, value: f64, units: UnitSystem) -> String {
    match measure {
        Measure::Velocity => show_velocity(value, units),
        Measure::Time => show(value, Q::Duration, units),
        Measure::Volume => show(value, Q::Volume, units),
        Measure::Share => show(value, Q::Share, units),
    }
}
