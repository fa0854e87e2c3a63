//! What is wrong with a scenario file, where, and what would be right.

use std::ops::Range;

/// One mistake in a scenario file. Drawing it is the command line's business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Bytes of the file the message is about.
    pub span: Range<usize>,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What would be right, if it can be said.
    pub help: Option<String>,
}
