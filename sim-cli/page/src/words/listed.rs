//! Names in a row.

use std::fmt::Display;

/// Names listed before the rest is only counted.
const MOST_NAMES: usize = 6;

/// `text` with a capital.
pub(super) fn upper_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// `3 tips (a, b, c)`.
pub(super) fn listed(kind: &str, names: &[impl Display]) -> String {
    match names {
        [] => format!("no {kind}"),
        [one] => format!("{kind} {one}"),
        [first, .., last] if names.len() > MOST_NAMES => {
            format!("{} {kind}s ({first} to {last})", names.len())
        }
        _ => {
            let all: Vec<String> = names.iter().map(ToString::to_string).collect();
            format!("{} {kind}s ({})", names.len(), all.join(", "))
        }
    }
}

/// `3 tips (a, b, c) are`.
pub(super) fn are(kind: &str, names: &[impl Display]) -> String {
    let verb = if names.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", upper_first(&listed(kind, names)))
}
