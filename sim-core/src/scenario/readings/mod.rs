//! What did the user measure, and in what state of the machine?
//!
//! A readings file is TOML or CSV; both become the same tables with their places in the file, which one
//! description checks. Blank values are readings not taken.

mod csv;
mod model;
mod spec;

pub use model::{Accuracy, Overlay, Reading, ReadingPlace, Readings, State};

pub(super) use model::section_ends;

use super::build::states::states;
use super::fault::{InputFault, in_order};
use super::model::Scenario;
use super::tree::parse;
use super::value::Checked;
use super::walk::{Mode, Walk};
use std::borrow::Cow;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Reads the readings in `text`, taken at the machine of `scenario`; `is_csv` says how they are written.
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read_readings(
    text: &str,
    is_csv: bool,
    scenario: &Scenario,
) -> Result<Readings, Vec<InputFault>> {
    let mut walk = Walk { blanks: true, units: scenario.units, ..Walk::default() };
    if text.trim().is_empty() {
        let help = "print a file to fill in: millstream diagnose SCENARIO --template toml";
        walk.fault(0..0, "the file is empty", help);
        return Err(walk.faults);
    }
    let top = if is_csv {
        csv::tables(text, &mut walk)
    } else {
        parse(text, &mut walk).map(|(table, _)| table.into_inner())
    };
    let checked = top.map(|mut top| {
        // Without the table, its defaults hold all the same.
        let accuracy = Spanned::new(0..0, Cow::Borrowed("accuracy"));
        let usual = || Spanned::new(0..0, DeValue::Table(DeTable::new()));
        top.entry(accuracy).or_insert_with(usual);
        walk.table(&top, 0..0, &spec::READINGS, Mode::Whole)
    });
    match checked {
        Some(top) if walk.faults.is_empty() => states(&top, scenario).map_err(in_order),
        _ => Err(in_order(walk.faults)),
    }
}

/// Reads the overlay in `text`.
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read_overlay(text: &str) -> Result<Overlay, Vec<InputFault>> {
    let mut walk = Walk::default();
    let checked = parse(text, &mut walk)
        .map(|(table, span)| walk.table(table.get_ref(), span, &spec::OVERLAY, Mode::Whole));
    match checked {
        Some(top) if walk.faults.is_empty() => Ok(overlay(&top)),
        _ => Err(in_order(walk.faults)),
    }
}

fn overlay(top: &Checked) -> Overlay {
    let factor = |key: &str| top.number(key).unwrap_or(1.0);
    Overlay {
        roughness: factor("roughness"),
        suction_losses: factor("suction_losses"),
        main_losses: factor("main_losses"),
        hose_losses: factor("hose_losses"),
        return_losses: factor("return_losses"),
        part_losses: factor("part_losses"),
    }
}
