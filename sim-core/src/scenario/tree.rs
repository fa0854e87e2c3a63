//! From text to TOML tables, every syntax fault at once.

use super::value::Span;
use super::walk::Walk;
use toml::Spanned;
use toml::de::DeTable;

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
