//! What a command was given.

use sim_core::scenario::Scenario;
use std::path::PathBuf;

/// A scenario and the text it was read from.
pub(crate) struct Loaded {
    pub(crate) path: PathBuf,
    pub(crate) text: String,
    pub(crate) scenario: Scenario,
}
