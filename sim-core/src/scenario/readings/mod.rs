//! What did the user measure, and in what state of the machine?
//!
//! A readings file is TOML or CSV; both become the same tables with their places in the file, which one
//! description checks. Blank values are readings not taken.

mod csv;
mod model;
mod separator;
mod spec;

pub use model::{
    Accuracy, KindChange, Overlay, PriorChanges, Reading, ReadingPlace, Readings, State,
};
pub use separator::Separator;
pub(crate) use spec::FAULT_KINDS;

pub(super) use model::section_ends;

use super::build::states::states;
use super::fault::{InputFault, in_both, in_order};
use super::model::Scenario;
use super::tree::parse;
use super::value::{Checked, Instead};
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
    let attempt = |instead| attempt((text, is_csv), scenario, instead);
    match attempt(Instead::Low) {
        Ok(readings) => Ok(readings),
        // What other values in place of those at fault would not bring about is no fault.
        Err(faults) => Err(match attempt(Instead::High) {
            Ok(_) => in_order(faults),
            Err(others) => in_both(faults, &others),
        }),
    }
}

/// Reads the readings in `text` with what is to stand `instead` of values at fault.
fn attempt(
    (text, is_csv): (&str, bool),
    scenario: &Scenario,
    instead: Instead,
) -> Result<Readings, Vec<InputFault>> {
    let mut walk = Walk { blanks: true, units: scenario.units, instead, ..Walk::default() };
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
    let Some(top) = checked else { return Err(walk.faults) };
    match states(&top, scenario) {
        Ok(readings) if walk.faults.is_empty() => Ok(readings),
        Ok(_) => Err(walk.faults),
        Err(mut faults) => {
            // That nothing was read at all is no news where rows were lost.
            faults.retain(|fault| walk.faults.is_empty() || fault.span != (0..0));
            Err(walk.faults.into_iter().chain(faults).collect())
        }
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
