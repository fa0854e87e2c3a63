//! What a command was given.

use sim_core::measures::Measure;
use sim_core::scenario::{InputFault, Scenario};
use std::ops::Range;
use std::path::PathBuf;

/// A scenario and the text it was read from.
pub(crate) struct Loaded {
    pub(crate) path: PathBuf,
    pub(crate) text: String,
    pub(crate) scenario: Scenario,
    /// What the text says to no effect.
    pub(crate) ignored: Vec<InputFault>,
    /// Where the text gives which limit.
    pub(crate) limits_at: Vec<(Measure, Range<usize>)>,
}
