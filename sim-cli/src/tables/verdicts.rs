//! Limits, met or not.

use super::grid::cells;
use super::page::Page;
use sim_core::findings::{Measure, StepFindings, Verdict};
use sim_core::units::{Quantity as Q, UnitSystem, show};

pub(super) fn table(out: &mut Page, findings: &StepFindings, units: UnitSystem) {
    if findings.verdicts.is_empty() {
        return;
    }
    let value = |verdict: &Verdict, number: f64| match (verdict.measure, units) {
        (Measure::Velocity, UnitSystem::Si) => format!("{number:.2} m/s"),
        (Measure::Velocity, UnitSystem::Us) => format!("{:.1} ft/s", number / 0.3048),
        (Measure::Time, _) => show(number, Q::Duration, units),
        (Measure::Share, _) => show(number, Q::Share, units),
    };
    let row = |verdict: &Verdict| {
        vec![
            if verdict.met { "met" } else { "NOT met" }.to_owned(),
            verdict.meaning.to_owned(),
            verdict.place.clone().unwrap_or_default(),
            value(verdict, verdict.value),
            value(verdict, verdict.at_most),
            verdict.source.clone(),
        ]
    };
    let rows: Vec<Vec<String>> = findings.verdicts.iter().map(row).collect();
    let header = cells(["", "limit on", "worst at", "value", "at most", "demanded by"]);
    out.table("Limits", header, rows, 3);
}
