//! Where a command prints and what it is told.

use crate::columns::WIDTH;
use std::ffi::OsStr;
use std::io::{BufRead, Write};

/// Narrowest line that is printed: on a terminal narrower than that, lines go on in the next.
const NARROWEST: usize = 40;

/// Where a run prints and what it is told.
pub struct Streams<'a> {
    /// Results.
    pub out: &'a mut dyn Write,
    /// Messages.
    pub err: &'a mut (dyn Write + Send),
    /// Whether messages may carry colour.
    pub colour: bool,
    /// What is typed in answer to questions; nothing where nobody is there to answer.
    pub typed: Option<&'a mut dyn BufRead>,
    /// Whether somebody watches the messages as they come.
    pub live: bool,
    /// Whether results may carry colour.
    pub accent: bool,
    /// Columns that a line of results may take.
    pub width: usize,
}

impl<'a> Streams<'a> {
    /// Streams that nobody watches: no colour, lines as wide as they are at most.
    pub fn unwatched(out: &'a mut dyn Write, err: &'a mut (dyn Write + Send)) -> Self {
        Self { out, err, colour: false, typed: None, live: false, accent: false, width: WIDTH }
    }
}

impl Streams<'_> {
    /// The same without messages, which go to `nobody`. What goes wrong is still said: it is returned.
    pub(crate) fn muted<'s>(&'s mut self, nobody: &'s mut (dyn Write + Send)) -> Streams<'s> {
        Streams { out: &mut *self.out, err: nobody, typed: None, live: false, ..*self }
    }
}

/// Columns that a line may take on a terminal of `columns`, or where there is none: never over 100, so that lines stay
/// readable and files are the same on every machine.
pub fn line_width(columns: Option<u16>) -> usize {
    columns.map_or(WIDTH, |columns| usize::from(columns).clamp(NARROWEST, WIDTH))
}

/// Whether what is printed may carry colour: on a terminal that can show it (`term` is the variable `TERM`), unless the
/// variable `NO_COLOR` is there with anything in it.
pub fn takes_colour(terminal: bool, no_color: Option<&OsStr>, term: Option<&OsStr>) -> bool {
    let asked_for_none = no_color.is_some_and(|text| !text.is_empty());
    terminal && !asked_for_none && term.is_none_or(|term| term != "dumb")
}

impl std::fmt::Debug for Streams<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Streams").field("colour", &self.colour).finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::{line_width, takes_colour};
    use std::ffi::OsStr;

    #[test]
    fn colour_is_for_terminals_that_show_it_and_people_who_want_it() {
        let (some, none) = (|text: &'static str| Some(OsStr::new(text)), None);
        assert!(takes_colour(true, none, some("xterm")));
        assert!(takes_colour(true, some(""), none));
        assert!(!takes_colour(false, none, some("xterm")));
        assert!(!takes_colour(true, some("1"), some("xterm")));
        assert!(!takes_colour(true, none, some("dumb")));
    }

    #[test]
    fn lines_are_as_wide_as_the_terminal_within_reason() {
        assert_eq!([None, Some(80), Some(10), Some(300)].map(line_width), [100, 80, 40, 100]);
    }
}
