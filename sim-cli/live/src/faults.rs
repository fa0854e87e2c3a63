//! Faults of a text, at places that a script counts.

use serde::Serialize;
use sim_core::scenario::InputFault;

/// A fault, from and to in letters as scripts count them (UTF-16).
#[derive(Debug, Serialize)]
pub(crate) struct ShownFault {
    from: usize,
    to: usize,
    line: usize,
    column: usize,
    message: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<String>,
}

/// The `faults` of `text`.
pub(crate) fn shown(text: &str, faults: &[InputFault]) -> Vec<ShownFault> {
    let units = |upto: usize| {
        let before = text.get(..upto).unwrap_or(text);
        before.encode_utf16().count()
    };
    let shown = |fault: &InputFault| {
        let (line, column) = fault.place(text);
        ShownFault {
            from: units(fault.span.start),
            to: units(fault.span.end),
            line,
            column,
            message: fault.message.clone(),
            help: fault.help.clone(),
        }
    };
    faults.iter().map(shown).collect()
}
