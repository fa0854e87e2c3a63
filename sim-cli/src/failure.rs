//! Why a command ends early, and how that is told.

use crate::columns::printable_lines;
use crate::{Streams, draw, exit};
use sim_core::scenario::InputFault;
use std::io;
use std::path::PathBuf;

/// Why a command ends early.
#[derive(Debug)]
pub(crate) enum Failure {
    /// A scenario with faults.
    Faults { path: PathBuf, text: String, faults: Vec<InputFault> },
    /// Anything else the user can mend.
    Input(String),
    /// A run without a result to trust.
    Untrusted(String),
    /// Results cannot be printed.
    Print(io::Error),
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::Print(error)
    }
}

impl Failure {
    /// Tells the user; returns the exit code.
    pub(crate) fn report(&self, streams: &mut Streams<'_>) -> u8 {
        let (text, code) = match self {
            Self::Faults { path, text, faults } => {
                (draw::faults(path, text, faults, streams.colour), exit::BAD_INPUT)
            }
            Self::Input(message) => {
                (format!("error: {}\n", printable_lines(message)), exit::BAD_INPUT)
            }
            Self::Untrusted(message) => {
                (format!("no result: {}\n", printable_lines(message)), exit::NOT_TRUSTED)
            }
            // A reader that has gone away (`millstream ... | head`) is no mistake.
            Self::Print(error) if error.kind() == io::ErrorKind::BrokenPipe => return exit::DONE,
            Self::Print(error) => (format!("error: cannot print: {error}\n"), exit::BAD_INPUT),
        };
        let _ = streams.err.write_all(text.as_bytes());
        code
    }
}
