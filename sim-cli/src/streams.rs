//! Where a command prints and what it is told.

use std::io::{BufRead, Write};

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
}

impl std::fmt::Debug for Streams<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Streams").field("colour", &self.colour).finish_non_exhaustive()
    }
}
