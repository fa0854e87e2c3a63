//! Text as a terminal or a page may show it.

use sim_core::scenario::steers;
use std::path::Path;

/// `text` on one line: no letter in it moves the cursor, rings or turns the direction of writing.
pub(crate) fn printable(text: &str) -> String {
    text.chars().map(shown).collect()
}

/// The name of a file on one line, and so.
pub(crate) fn printable_path(path: &Path) -> String {
    printable(&path.display().to_string())
}

/// The same for a text of several lines: line ends and tabs stay.
pub(crate) fn printable_lines(text: &str) -> String {
    text.chars().map(kept_on_lines).collect()
}

/// What is shown for `letter` in a text of several lines.
pub(super) fn kept_on_lines(letter: char) -> char {
    if matches!(letter, '\n' | '\t') { letter } else { picture(letter) }
}

/// What is shown for `letter`: four spaces for a tab.
pub(crate) fn shown(letter: char) -> String {
    if letter == '\t' { "    ".into() } else { picture(letter).into() }
}

/// What is shown for `letter`: the control pictures of Unicode for control letters.
fn picture(letter: char) -> char {
    match letter {
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(letter)).unwrap_or(letter),
        '\u{7f}' => '\u{2421}',
        _ if steers(letter) => char::REPLACEMENT_CHARACTER,
        _ => letter,
    }
}
