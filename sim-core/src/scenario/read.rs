//! Entry point: from a scenario file's text to TOML tables, every syntax fault at once, and on to its model.

use super::build::build;
use super::fault::Fault;
use super::files::Files;
use super::model::Scenario;
use super::spec::TOP;
use super::value::Span;
use super::walk::{Mode, Walk};
use toml::Spanned;
use toml::de::DeTable;

/// Reads the scenario in `text`; files it names come through `files`.
///
/// # Errors
/// Every fault of the file's syntax; or, if that is valid, of its keys, values and units; or, if those
/// are, of what they mean together: each in the order of the file.
pub fn read(text: &str, files: &dyn Files) -> Result<Scenario, Vec<Fault>> {
    let mut walk = Walk::default();
    if text.trim().is_empty() {
        let help = "a machine needs at least [boom], [tank], [pump] and [supply], or the tables of the \
                    long form";
        walk.fault(0..0, "the file is empty", help);
        return Err(walk.faults);
    }
    let checked = parse(text, &mut walk)
        .map(|(table, span)| walk.table(table.get_ref(), span, &TOP, Mode::Whole));
    let outcome = match checked {
        Some(top) if walk.faults.is_empty() => build(&top, files),
        _ => Err(walk.faults),
    };
    outcome.map_err(|mut faults| {
        faults.sort_by_key(|fault| (fault.span.start, fault.span.end));
        faults.dedup();
        faults
    })
}

/// The file's tables and the span of the file; `None` where the syntax is at fault.
pub(super) fn parse<'t>(text: &'t str, walk: &mut Walk) -> Option<(Spanned<DeTable<'t>>, Span)> {
    if text.contains('\0') {
        let at = text.find('\0').unwrap_or(0);
        return walk.refuse(at..at + 1, "this is not a text file", "a scenario is a TOML file");
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    for error in &errors {
        let span = error.span().unwrap_or(0..0);
        let span = span.start.min(text.len())..span.end.min(text.len());
        let message = error.message().lines().next().unwrap_or("this is not TOML").to_owned();
        walk.fault(span, message, "");
    }
    errors.is_empty().then_some((table, 0..0))
}
