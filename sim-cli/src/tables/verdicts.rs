//! Limits, met or not.

use crate::columns::{Columns, Table};
use crate::words::{allowed, place};
use sim_core::findings::{StepFindings, Verdict};
use sim_core::units::{UnitSystem, show};

pub(super) fn table(findings: &StepFindings, units: UnitSystem) -> Table {
    Columns::new()
        .words("", |verdict: &Verdict| if verdict.met { "met" } else { "NOT met" })
        .words("limit on", |verdict| verdict.measure.words())
        .words("worst at", place)
        .text("value", |v| show(v.value, v.measure.quantity(), units))
        .text("at most", |verdict| allowed(verdict, units))
        .text("demanded by", |verdict| verdict.source.clone())
        .table("Limits", &findings.verdicts, units)
}
