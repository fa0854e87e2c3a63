//! A paper as files.

use crate::output::OutputFile;

/// A paper as files that belong together.
#[derive(Debug)]
pub(crate) struct PaperSet {
    pub(crate) title: &'static str,
    /// What it comes to, in a sentence or two.
    pub(crate) answer: String,
    pub(crate) files: Vec<OutputFile>,
}
