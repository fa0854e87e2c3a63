//! Figures of the steps beside each other.

use super::purge::called;
use crate::columns::{Columns, Table};
use crate::results::FinishedStep;
use crate::words::or_dash;
use sim_core::findings::{Measured, value};
use sim_core::measures::Measure;
use sim_core::units::UnitSystem;

/// Most steps whose figures are side by side: what a printed page is wide enough for.
const MOST_COLUMNS: usize = 6;

/// Every figure that some step has, in tables of about the same width where one is not enough.
pub(crate) fn tables(steps: &[FinishedStep<'_>], units: UnitSystem) -> Vec<Table> {
    let tables = steps.len().div_ceil(MOST_COLUMNS).max(1);
    let groups = steps.chunks(steps.len().div_ceil(tables).max(1));
    groups.map(|group| of_group(group, units)).collect()
}

fn of_group(steps: &[FinishedStep<'_>], units: UnitSystem) -> Table {
    let found: Vec<Vec<Measured>> = steps.iter().map(|of| of.findings.measured()).collect();
    let has = |measure: &Measure| found.iter().any(|found| value(found, *measure).is_some());
    let mut columns = Columns::new().words("", |measure: &Measure| measure.words());
    for (of, found) in steps.iter().zip(&found) {
        let shown = |measure: &Measure| or_dash(value(found, *measure), measure.quantity(), units);
        columns = columns.text(&called(of), shown);
    }
    let measures: Vec<Measure> = Measure::of_steps().filter(has).collect();
    columns.table("Key figures by step", &measures, units)
}
