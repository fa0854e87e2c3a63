//! What is wrong with a scenario file, where, and what would be right.

use std::collections::BTreeSet;
use std::ops::Range;

/// Faults of one file that are worth reporting. Beyond these nothing costly is done for a fault, such as a search for the
/// name that was meant, so that a file of nothing but faults is refused in the time that it takes to read it.
pub const MOST_FAULTS: usize = 100;

/// One mistake in a scenario file. Drawing it is the command line's business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InputFault {
    /// Bytes of the file the message is about.
    pub span: Range<usize>,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What would be right, if it can be said.
    pub help: Option<String>,
}

impl InputFault {
    /// The fault of the text at `span`; an empty `help` is none.
    pub(crate) fn new(
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        let help = Some(help.into()).filter(|help| !help.is_empty());
        Self { span, message: message.into(), help }
    }
}

impl InputFault {
    /// Line and letter of that line, both from 1, where it is in `text`, the text of its file.
    pub fn place(&self, text: &str) -> (usize, usize) {
        line_and_letter(text, self.span.start)
    }
}

/// `faults` in the order of their file, each once.
pub(super) fn in_order(mut faults: Vec<InputFault>) -> Vec<InputFault> {
    faults.sort_by_key(|fault| (fault.span.start, fault.span.end));
    faults.dedup();
    faults
}

/// Those of `faults` that are among `others`, too, in the order of their file.
pub(super) fn in_both(faults: Vec<InputFault>, others: &[InputFault]) -> Vec<InputFault> {
    let key = |fault: &InputFault| (fault.span.start, fault.span.end, fault.message.clone());
    let others: BTreeSet<_> = others.iter().map(key).collect();
    in_order(faults.into_iter().filter(|fault| others.contains(&key(fault))).collect())
}

/// Where `at` is in `text`, in words.
pub(super) fn place(text: &str, at: usize) -> String {
    let (line, letter) = line_and_letter(text, at);
    format!("line {line}, column {letter}")
}

fn line_and_letter(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    (1 + before.matches('\n').count(), 1 + before[line_start..].chars().count())
}
