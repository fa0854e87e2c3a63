//! Draws faults: file, line, column, the text underlined, what is wrong and what would be right.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Level, Origin, Renderer, Snippet};
use sim_core::scenario::Fault;
use std::fmt::Write as _;
use std::ops::Range;
use std::path::Path;

/// Width messages are drawn for, columns.
const WIDTH: usize = 100;

/// All `faults` of the file at `path` with its `text`, and a line that counts them.
pub fn faults(path: &Path, text: &str, faults: &[Fault], colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.term_width(WIDTH).decor_style(DecorStyle::Ascii);
    let path = path.display().to_string();
    let mut drawn = String::new();
    for fault in faults {
        let title = Level::ERROR.primary_title(fault.message.as_str());
        let whole_file = fault.span.is_empty() && fault.span.start == 0;
        let mut group = if whole_file {
            title.element(Origin::path(path.as_str()))
        } else {
            let mark = AnnotationKind::Primary.span(visible(text, fault));
            title.element(Snippet::source(text).path(path.as_str()).annotation(mark))
        };
        if let Some(help) = &fault.help {
            group = group.element(Level::HELP.message(help.as_str()));
        }
        drawn.push_str(&renderer.render(&[group]));
        drawn.push_str("\n\n");
    }
    let count = faults.len();
    let noun = if count == 1 { "fault" } else { "faults" };
    // Writing to a String cannot fail.
    let _ = writeln!(drawn, "{path}: {count} {noun}; nothing was written");
    drawn
}

/// The fault's span cut to its first line, so that a table is marked by its header alone, and widened to whole
/// characters.
fn visible(text: &str, fault: &Fault) -> Range<usize> {
    let within = |at: usize| (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at));
    let start = within(fault.span.start).unwrap_or(0);
    let end = fault.span.end.clamp(start, text.len());
    let first_line = text[start..].find('\n').map_or(end, |at| end.min(start + at));
    let least = text[start..].chars().next().map_or(start, |c| start + c.len_utf8());
    let end = first_line.max(least);
    let past = (end..=text.len()).find(|at| text.is_char_boundary(*at));
    start..past.unwrap_or(text.len())
}
