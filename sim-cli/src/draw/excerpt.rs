//! The line that a fault is in, cut to the width there is, and where the mark under it goes.

use crate::columns::{printable, shown};
use std::ops::Range;
use unicode_width::UnicodeWidthStr as _;

/// Stands for what is cut off a line.
const CUT: &str = "...";
/// Columns before the place that a cut line keeps.
const CONTEXT: usize = 20;

/// A text with the places where its lines start.
pub(super) struct Lines<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

/// Where a fault is.
pub(super) struct FaultPlace<'a> {
    /// Number of the line, from 1.
    pub(super) line: usize,
    /// Letters of the line up to the place, from 1.
    pub(super) column: usize,
    text: &'a str,
    /// Bytes of the line that are marked; none where the line ends too early.
    marked: Range<usize>,
}

/// What is drawn of a line.
pub(super) struct Excerpt {
    /// The line, or the part of it around the place.
    pub(super) text: String,
    /// Columns before the mark.
    pub(super) before: usize,
    /// The mark.
    pub(super) mark: String,
}

impl<'a> Lines<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        let after_ends = text.match_indices('\n').map(|(at, _)| at + 1);
        Self { text, starts: std::iter::once(0).chain(after_ends).collect() }
    }

    /// Where `span` starts, and its part on that line, widened to whole letters: a table is marked by its header
    /// alone.
    pub(super) fn place(&self, span: &Range<usize>) -> FaultPlace<'a> {
        let at = span.start.min(self.text.len());
        let line = self.starts.partition_point(|first| *first <= at);
        let first = self.starts[line - 1];
        let text = self.text[first..].lines().next().unwrap_or("");
        let within = |at: usize| at.saturating_sub(first).min(text.len());
        let down = (0..=within(at)).rev().find(|at| text.is_char_boundary(*at));
        let up = (within(span.end)..=text.len()).find(|at| text.is_char_boundary(*at));
        let start = down.unwrap_or(0);
        let least = start + text[start..].chars().next().map_or(0, char::len_utf8);
        let end = up.unwrap_or(text.len()).max(least);
        FaultPlace { line, column: text[..start].chars().count() + 1, text, marked: start..end }
    }
}

impl FaultPlace<'_> {
    /// The line with its mark in at most `room` columns; `None` where there is nothing to show.
    pub(super) fn excerpt(&self, room: usize) -> Option<Excerpt> {
        if self.text.trim().is_empty() {
            return None;
        }
        let shown = self.window(room);
        let cut = |cut: bool| if cut { CUT } else { "" };
        let marked = self.marked.start..self.marked.end.min(shown.end);
        let before =
            cut(shown.start > 0).to_owned() + &printable(&self.text[shown.start..marked.start]);
        let under = printable(&self.text[marked.clone()]);
        let after = printable(&self.text[marked.end..shown.end]) + cut(shown.end < self.text.len());
        Some(Excerpt {
            text: format!("{before}{under}{after}").trim_end().to_owned(),
            before: before.width(),
            mark: "-".repeat(under.width().max(1)),
        })
    }

    /// Bytes of the line that `room` columns show: all of it, or a piece before the mark, of the mark what fits, and
    /// then as much on either side.
    fn window(&self, room: usize) -> Range<usize> {
        let short = self.text.chars().nth(2 * room).is_none();
        if short && printable(self.text).width() <= room {
            return 0..self.text.len();
        }
        let free = room.saturating_sub(2 * CUT.len());
        let mut window =
            LineWindow { text: self.text, shown: self.marked.start..self.marked.start, free };
        while window.free + CONTEXT > free && window.left() {}
        while window.shown.end < self.marked.end && window.right() {}
        while window.left() | window.right() {}
        window.shown
    }
}

/// A piece of a line that grows until its columns are used.
struct LineWindow<'a> {
    text: &'a str,
    shown: Range<usize>,
    free: usize,
}

impl LineWindow<'_> {
    /// Takes the letter before the piece, if there is one and it fits.
    fn left(&mut self) -> bool {
        let bytes = self.pay(self.text[..self.shown.start].chars().next_back());
        self.shown.start -= bytes;
        bytes > 0
    }

    /// Takes the letter after the piece, if there is one and it fits.
    fn right(&mut self) -> bool {
        let bytes = self.pay(self.text[self.shown.end..].chars().next());
        self.shown.end += bytes;
        bytes > 0
    }

    /// Bytes of `letter`, its columns paid for; none where it does not fit.
    fn pay(&mut self, letter: Option<char>) -> usize {
        let Some(letter) = letter else { return 0 };
        let Some(free) = self.free.checked_sub(shown(letter).width()) else { return 0 };
        self.free = free;
        letter.len_utf8()
    }
}
