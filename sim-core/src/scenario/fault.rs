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

impl Fault {
    /// The fault of the text at `span`; an empty `help` is none.
    pub(super) fn new(
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        let help = Some(help.into()).filter(|help| !help.is_empty());
        Self { span, message: message.into(), help }
    }
}
