//! From text to TOML tables, every syntax fault at once.

use super::value::Span;
use super::walk::Walk;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys whose texts may have several lines.
const PROSE: [&str; 4] = ["about", "caution", "note", "source"];

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
        let rest = text.get(span.start..).unwrap_or_default();
        let digits = rest.split(|letter: char| !letter.is_ascii_digit()).next();
        match digits.filter(|digits| digits.len() > 1 && digits.starts_with('0')) {
            Some(digits) => {
                let help =
                    format!("write `\"{digits}\"` where a text is meant, such as a tip's size");
                walk.fault(span, "a number does not begin with 0", help);
            }
            None => walk.fault(span, message, ""),
        }
    }
    if !errors.is_empty() {
        return None;
    }
    check_letters(table.get_ref(), walk);
    Some((table, 0..0))
}

/// A fault for every key and text of `table` with a letter that steers what shows it: such a name could hide, or pass
/// for something else.
pub(super) fn check_letters(table: &DeTable<'_>, walk: &mut Walk) {
    for (key, value) in table {
        check_text(key.get_ref(), key.span(), false, walk);
        check_value(value, PROSE.contains(&key.get_ref().as_ref()), walk);
    }
}

fn check_value(value: &Spanned<DeValue<'_>>, prose: bool, walk: &mut Walk) {
    match value.get_ref() {
        DeValue::String(text) => check_text(text, value.span(), prose, walk),
        DeValue::Table(table) => check_letters(table, walk),
        DeValue::Array(items) => items.iter().for_each(|item| check_value(item, false, walk)),
        _ => {}
    }
}

fn check_text(text: &str, span: Span, prose: bool, walk: &mut Walk) {
    let steers = |letter: &char| match letter {
        '\n' | '\r' | '\t' => !prose,
        _ => steers(*letter),
    };
    if let Some(letter) = text.chars().find(steers) {
        let code = u32::from(letter);
        let message = format!("this text has a control character, U+{code:04X}");
        walk.fault(
            span,
            message,
            "take it away: names and texts have letters, digits, spaces and signs alone",
        );
    }
}

/// Whether `letter` is not shown but steers what shows it: a control character, a separator of lines, or one that turns
/// the direction of writing (Unicode Standard Annex 9).
pub fn steers(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{61c}' | '\u{200e}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}
