//! Draws faults: file, line, column and what is wrong; the text there with a mark under it; what would be right.

mod excerpt;

use crate::columns::{broken, printable, printable_path};
use excerpt::Lines;
use sim_core::scenario::{InputFault, MOST_FAULTS};
use std::path::Path;

/// Width of what stands under a headline, columns. Headlines stay on one line: other programs read them.
const WIDTH: usize = 80;
/// What stands before an excerpt, and before what would be right.
const FAR: &str = "    ";
const NEAR: &str = "  ";
/// Stands for a space at which no line may be broken; no printable text has it.
const GAP: char = '\0';
/// Terminal sequences (ECMA-48, SGR): bold, bold red, and neither.
const BOLD: &str = "\u{1b}[1m";
const RED: &str = "\u{1b}[1;31m";
const PLAIN: &str = "\u{1b}[0m";

/// The first [`MOST_FAULTS`] `faults` of the file at `path` with its `text`, and a line that counts all of them.
pub fn faults(path: &Path, text: &str, faults: &[InputFault], colour: bool) -> String {
    let lines = Lines::new(text);
    let path = printable_path(path);
    let mut drawn = String::new();
    for fault in &faults[..faults.len().min(MOST_FAULTS)] {
        drawn.push_str(&path);
        drawn.push_str(&one(&lines, fault, colour));
        drawn.push('\n');
    }
    let count = faults.len();
    let noun = if count == 1 { "fault" } else { "faults" };
    if count > MOST_FAULTS {
        drawn.push_str(&format!("{path}: and {} more\n\n", count - MOST_FAULTS));
    }
    drawn + &format!("{path}: {count} {noun}; nothing was written\n")
}

/// What the file at `path` with its `text` says to no effect, and a line that counts it; nothing where there is none.
pub fn ignored(path: &Path, text: &str, ignored: &[InputFault], colour: bool) -> String {
    let lines = Lines::new(text);
    let path = printable_path(path);
    let each = ignored.iter().map(|one_of| format!("{path}{}\n", one(&lines, one_of, colour)));
    let mut drawn: String = each.collect();
    match ignored.len() {
        0 => {}
        1 => drawn.push_str(&format!("{path}: this key changes nothing; all else counts\n")),
        count => {
            drawn.push_str(&format!("{path}: these {count} keys change nothing; all else counts\n"))
        }
    }
    drawn
}

/// One fault, the path before it left out.
fn one(lines: &Lines<'_>, fault: &InputFault, colour: bool) -> String {
    let paint = |sequence: &str, words: &str| match colour {
        true => format!("{sequence}{words}{PLAIN}"),
        false => words.to_owned(),
    };
    let message = paint(BOLD, &printable(&fault.message));
    let whole_file = fault.span.is_empty() && fault.span.start == 0;
    let place = (!whole_file).then(|| lines.place(&fault.span));
    let mut drawn =
        place.as_ref().map_or_else(String::new, |at| format!(":{}:{}", at.line, at.column));
    drawn.push_str(&format!(": {message}\n"));
    if let Some(excerpt) = place.and_then(|place| place.excerpt(WIDTH - FAR.len())) {
        let (blank, mark) = (" ".repeat(excerpt.before), paint(RED, &excerpt.mark));
        drawn.push_str(&format!("{FAR}{}\n{FAR}{blank}{mark}\n", excerpt.text));
    }
    if let Some(help) = &fault.help {
        let right = held_together(&sentence(&printable(help)));
        let right = broken(&right, NEAR, WIDTH - NEAR.len()).replace(GAP, " ");
        drawn.push_str(&format!("{NEAR}{right}"));
    }
    drawn
}

/// `words` with a capital letter and a full stop.
fn sentence(words: &str) -> String {
    let mut rest = words.chars();
    let first = rest.next().map(|first| first.to_ascii_uppercase());
    let stop = if words.ends_with(['.', '?']) { "" } else { "." };
    first.into_iter().chain(rest).chain(stop.chars()).collect()
}

/// `words` with a [`GAP`] for each space within quotes of either kind: what is to be typed stays on one line.
fn held_together(words: &str) -> String {
    let mut held = String::new();
    let mut rest = words;
    while let Some(opened) = rest.find(['`', '"']) {
        let quote = &rest[opened..=opened];
        let Some(length) = rest[opened + 1..].find(quote) else { break };
        let closed = opened + 1 + length;
        held.push_str(&rest[..opened]);
        held.push_str(&rest[opened..=closed].replace(' ', &GAP.to_string()));
        rest = &rest[closed + 1..];
    }
    held + rest
}
