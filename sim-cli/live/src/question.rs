//! What the page asks.

use serde::Deserialize;
use std::collections::BTreeMap;

/// A question of the page.
#[derive(Debug, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case")]
pub(crate) enum Question {
    /// Takes the files that scenarios name.
    Files {
        /// Text by name.
        files: BTreeMap<String, String>,
    },
    /// Reads a text, and takes it if it is valid.
    Text {
        /// The scenario.
        text: String,
    },
    /// The text with a setting at a value; nothing is taken yet.
    Set {
        /// Its name.
        path: String,
        /// The value, as a scenario writes it.
        value: String,
    },
    /// Shows a step of the course, from 0: its steady state, or, while a run is on, the run goes on with it.
    Step {
        /// Which.
        number: usize,
    },
    /// Begins a run with the step shown.
    Begin,
    /// Goes on with the run up to a time.
    Play {
        /// s after its start.
        to: f64,
    },
    /// Goes back to an earlier moment of the run.
    Back {
        /// s after its start.
        to: f64,
    },
    /// Ends the run: the steady state is shown again.
    Stop,
    /// What the run means so far, or the steady state.
    Findings,
    /// The findings of a whole run of the text, as a file has them.
    Whole,
    /// The run so far as a scenario.
    Scenario,
    /// The parts of the run so far: when each began, with which step of which text.
    Parts,
}
