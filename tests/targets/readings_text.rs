//! Any text as readings, in TOML or CSV, taken at one of the shipped machines.

use super::closed_files::Closed;
use sim_core::scenario::{Scenario, read, read_readings};
use std::path::Path;
use std::sync::LazyLock;

/// Machines with sections, a meter and a control; with a diaphragm pump; of the long form.
static MACHINES: LazyLock<Vec<Scenario>> = LazyLock::new(|| {
    let texts = [
        include_str!("../../scenarios/heron-36m-centre.toml"),
        include_str!("../../scenarios/larkfield-12m.toml"),
        include_str!("../../scenarios/otterbend-90ft-nitrogen.toml"),
        include_str!("../../scenarios/quill-loop.toml"),
    ];
    let read = |text: &&str| read(text, &Closed { brought: None }).unwrap();
    texts.iter().map(read).collect()
});

/// The first byte picks the machine and the form, the rest is the text.
pub(super) fn target(input: &[u8]) {
    let Some((&pick, text)) = input.split_first() else { return };
    let Ok(text) = std::str::from_utf8(text) else { return };
    let machine = &MACHINES[usize::from(pick / 2) % MACHINES.len()];
    match read_readings(text, pick % 2 == 1, machine) {
        Ok(readings) => {
            let values = readings.states.iter().flat_map(|state| &state.readings);
            values.for_each(|reading| assert!(reading.value.is_finite(), "{reading:?}"));
            assert!(readings.model_accuracy.is_finite() && !readings.states.is_empty());
        }
        Err(faults) => {
            assert!(!faults.is_empty(), "refused without a word");
            sim_cli::draw::faults(Path::new("input"), text, &faults, false);
        }
    }
}
