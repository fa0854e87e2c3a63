//! Entry point: from a scenario file's text to its model.

use super::build::build;
use super::fault::{InputFault, in_order};
use super::files::Files;
use super::model::{Noted, Scenario};
use super::spec::TOP;
use super::tree::parse;
use super::walk::{Mode, Walk};
use crate::units::UnitSystem;
use toml::de::DeTable;

/// Reads the scenario in `text`; files it names come through `files`.
///
/// # Errors
/// Every fault of the file's syntax; or, if that is valid, of its keys, values and units; or, if those
/// are, of what they mean together: each in the order of the file.
pub fn read(text: &str, files: &dyn Files) -> Result<Scenario, Vec<InputFault>> {
    read_noting(text, files).map(|noted| noted.scenario)
}

/// The same, with what the file says to no effect.
///
/// # Errors
/// As [`read`].
pub fn read_noting(text: &str, files: &dyn Files) -> Result<Noted, Vec<InputFault>> {
    let mut walk = Walk::default();
    if text.trim().is_empty() {
        let help = "a machine needs at least [boom], [tank], [pump] and [supply], or the tables of the \
                    long form";
        walk.fault(0..0, "the file is empty", help);
        return Err(walk.faults);
    }
    let checked = parse(text, &mut walk).map(|(table, span)| {
        walk.units = asked(table.get_ref());
        walk.table(table.get_ref(), span, &TOP, Mode::Whole)
    });
    let outcome = match checked {
        Some(top) if walk.faults.is_empty() => build(&top, files),
        _ => Err(walk.faults),
    };
    outcome.map(|noted| Noted { ignored: in_order(noted.ignored), ..noted }).map_err(in_order)
}

/// The units that the file's `table` asks for; the usual ones where it does not, or wrongly.
fn asked(table: &DeTable<'_>) -> UnitSystem {
    let name = table.get("units").and_then(|value| value.get_ref().as_str());
    name.and_then(UnitSystem::named).unwrap_or_default()
}
