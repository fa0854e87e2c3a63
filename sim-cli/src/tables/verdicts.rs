//! Limits, met or not.

use crate::columns::{Columns, Table};
use crate::words::shown;
use sim_core::findings::{StepFindings, Verdict};
use sim_core::units::UnitSystem;

pub(super) fn table(findings: &StepFindings, units: UnitSystem) -> Table {
    Columns::new()
        .words("", |verdict: &Verdict| if verdict.met { "met" } else { "NOT met" })
        .words("limit on", |verdict| verdict.meaning)
        .words("worst at", |verdict| verdict.place.clone().unwrap_or_default())
        .text("value", |verdict| shown(verdict.unit, verdict.value, units))
        .text("at most", |verdict| shown(verdict.unit, verdict.at_most, units))
        .text("demanded by", |verdict| verdict.source.clone())
        .table("Limits", &findings.verdicts, units)
}
