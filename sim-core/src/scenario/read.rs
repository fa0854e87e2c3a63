//! Entry point: from a scenario file's text to its model.

use super::build::build;
use super::fault::{InputFault, in_both, in_order};
use super::files::Files;
use super::model::{Noted, Scenario};
use super::spec::TOP;
use super::tree::parse;
use super::value::Instead;
use super::walk::{Mode, Walk};
use crate::units::UnitSystem;
use toml::de::DeTable;

/// Reads the scenario in `text`; files it names come through `files`.
///
/// # Errors
/// Every fault of the file's syntax; or, if that is valid, of its keys, values and units, and of what they mean
/// together: all in the order of the file.
pub fn read(text: &str, files: &dyn Files) -> Result<Scenario, Vec<InputFault>> {
    read_noting(text, files).map(|noted| noted.scenario)
}

/// The same, with what the file says to no effect.
///
/// # Errors
/// As [`read`].
pub fn read_noting(text: &str, files: &dyn Files) -> Result<Noted, Vec<InputFault>> {
    let first = attempt(text, files, Instead::Low)?;
    let (faults, stood_in) = match first {
        Attempt::Whole(noted) => return Ok(*noted),
        Attempt::Broken { faults, stood_in } => (faults, stood_in),
    };
    if !stood_in {
        return Err(in_order(faults));
    }
    // What other values in place of those at fault would not bring about is none.
    match attempt(text, files, Instead::High)? {
        Attempt::Whole(_) => Err(in_order(faults)),
        Attempt::Broken { faults: others, .. } => Err(in_both(faults, &others)),
    }
}

/// What a file comes to.
enum Attempt {
    Whole(Box<Noted>),
    Broken {
        faults: Vec<InputFault>,
        /// Whether values stand in for some at fault.
        stood_in: bool,
    },
}

/// Reads `text` with what is to stand `instead` of values at fault; its faults alone where it is no TOML.
fn attempt(text: &str, files: &dyn Files, instead: Instead) -> Result<Attempt, Vec<InputFault>> {
    let mut walk = Walk { instead, ..Walk::default() };
    if text.trim().is_empty() {
        let help = "a machine needs at least [boom], [tank], [pump] and [supply], or the tables of the \
                    long form";
        walk.fault(0..0, "the file is empty", help);
        return Err(walk.faults);
    }
    let Some((table, span)) = parse(text, &mut walk) else { return Err(in_order(walk.faults)) };
    walk.units = asked(table.get_ref());
    let top = walk.table(table.get_ref(), span, &TOP, Mode::Whole);
    let stood_in = !walk.faults.is_empty();
    Ok(match build(&top, files, walk) {
        Ok(noted) => {
            let ignored = in_order(noted.ignored);
            Attempt::Whole(Box::new(Noted { ignored, ..noted }))
        }
        Err(faults) => Attempt::Broken { faults, stood_in },
    })
}

/// The units that the file's `table` asks for; the usual ones where it does not, or wrongly.
fn asked(table: &DeTable<'_>) -> UnitSystem {
    let name = table.get("units").and_then(|value| value.get_ref().as_str());
    name.and_then(UnitSystem::named).unwrap_or_default()
}
