//! Draws faults: file, line, column, the text underlined, what is wrong and what would be right.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Level, Origin, Renderer, Snippet};
use sim_core::scenario::Fault;
use std::fmt::Write as _;
use std::path::Path;

/// Width messages are drawn for, columns.
const WIDTH: usize = 100;

/// All `faults` of the file at `path` with its `text`, and a line that counts them.
pub(crate) fn faults(path: &Path, text: &str, faults: &[Fault], colour: bool) -> String {
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

/// The fault's span cut to its first line, so that a table is marked by its header alone.
fn visible(text: &str, fault: &Fault) -> std::ops::Range<usize> {
    let start = fault.span.start.min(text.len());
    let end = fault.span.end.clamp(start, text.len());
    let first_line = text[start..end].find('\n').map_or(end, |at| start + at);
    start..first_line.max((start + 1).min(text.len()))
}
