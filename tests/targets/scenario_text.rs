//! Any text as a scenario: valid or told what is wrong; what is valid reads back from its long form.

use super::closed_files::Closed;
use sim_core::scenario::{expand, expand_json, read};
use std::path::Path;

/// The whole input is the text.
pub(super) fn target(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else { return };
    let files = Closed { brought: None };
    let scenario = match read(text, &files) {
        Ok(scenario) => scenario,
        Err(faults) => {
            assert!(!faults.is_empty(), "refused without a word");
            let drawn = sim_cli::draw::faults(Path::new("input"), text, &faults, true);
            assert!(drawn.contains("nothing was written"));
            return;
        }
    };
    let long = expand(&scenario);
    let again = read(&long, &files);
    assert!(again.as_ref() == Ok(&scenario), "its long form reads differently:\n{long}\n{again:?}");
    assert!(expand_json(&scenario).is_object());
}
