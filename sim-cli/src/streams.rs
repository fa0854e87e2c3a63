//! Where a command prints.

use std::io::Write;

/// Where a run prints.
pub struct Streams<'a> {
    /// Results.
    pub out: &'a mut dyn Write,
    /// Messages.
    pub err: &'a mut (dyn Write + Send),
    /// Whether messages may carry colour.
    pub colour: bool,
    /// Whether somebody watches the messages as they come.
    pub live: bool,
}

impl std::fmt::Debug for Streams<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Streams").field("colour", &self.colour).finish_non_exhaustive()
    }
}
