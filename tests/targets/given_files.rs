//! Any text as a pump curve, a liquid or an overlay beside a valid scenario, or as a value with its unit.

use super::closed_files::Closed;
use sim_core::diagnosis::overlaid;
use sim_core::hydraulics::Solver;
use sim_core::procedure::Settings;
use sim_core::scenario::{Scenario, expand, read, read_overlay};
use sim_core::units::{Quantity, UnitSystem, parse, show};
use std::path::Path;
use std::sync::LazyLock;

const MACHINE: &str = include_str!("../../scenarios/larkfield-12m.toml");
const CURVE: &str = "pumps/larkfield-diaphragm.csv";

static HEALTHY: LazyLock<Scenario> =
    LazyLock::new(|| read(MACHINE, &Closed { brought: None }).unwrap());

/// The first byte says what the rest is.
pub(super) fn target(input: &[u8]) {
    let Some((&pick, text)) = input.split_first() else { return };
    let Ok(text) = std::str::from_utf8(text) else { return };
    match pick % 4 {
        0 => beside(&MACHINE.replace(CURVE, "input"), text),
        1 => beside(&format!("{MACHINE}\n[liquid]\nnamed = \"input\"\n"), text),
        2 => match read_overlay(text) {
            Ok(overlay) => solves(&overlaid(&HEALTHY, &overlay)),
            Err(faults) => {
                sim_cli::draw::faults(Path::new("input"), text, &faults, false);
            }
        },
        _ => value(text),
    }
}

/// Reads `scenario`, which names the file `input` holding `text`.
fn beside(scenario: &str, text: &str) {
    match read(scenario, &Closed { brought: Some(text) }) {
        Ok(valid) => {
            let again = read(&expand(&valid), &Closed { brought: None });
            assert!(again.as_ref() == Ok(&valid), "{again:?}");
            solves(&valid);
        }
        Err(faults) => {
            assert!(!faults.is_empty(), "refused without a word");
            sim_cli::draw::faults(Path::new("input"), scenario, &faults, false);
        }
    }
}

/// The machine's first state of flow is found in finite numbers, or why not is said.
fn solves(scenario: &Scenario) {
    let mut solver =
        Solver::new(&scenario.machine.plumbing, &scenario.course.liquid, scenario.course.model);
    if let Ok(instant) = solver.solve(&Settings::of(&scenario.machine.plumbing), &[]) {
        let numbers = instant.flow_m3_s.iter().chain(&instant.static_pressure_pa);
        numbers.for_each(|number| assert!(number.is_finite(), "{number}"));
    }
}

/// A value of whichever quantity its unit fits: finite, and shown in words that read back near it.
fn value(text: &str) {
    for quantity in Quantity::ALL {
        if let Ok(number) = parse(text, quantity) {
            assert!(number.is_finite(), "{text} is {number}");
            for units in [UnitSystem::Si, UnitSystem::Us] {
                let shown = show(number, quantity, units);
                assert!(
                    !shown.contains("NaN") && !shown.contains("inf"),
                    "{text} shows as {shown}"
                );
            }
        }
    }
}
