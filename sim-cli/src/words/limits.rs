//! Limits and how they came out, in words.

use sim_core::findings::{Place, Verdict};
use sim_core::units::{UnitSystem, show};

/// The largest value that a limit allows, or what else it allows.
pub(crate) fn allowed(verdict: &Verdict, units: UnitSystem) -> String {
    let shown = |value: f64| show(value, verdict.measure.quantity(), units);
    match (verdict.at_most, verdict.at_least) {
        (Some(most), Some(least)) => format!("{} to {}", shown(least), shown(most)),
        (most, None) => most.map(shown).unwrap_or_default(),
        (None, Some(least)) => format!("at least {}", shown(least)),
    }
}

/// Where the worst value is; empty where no one place has it.
pub(crate) fn place(verdict: &Verdict) -> String {
    let place = match &verdict.place {
        Some(Place::Tip(tip)) => format!("tip {tip}"),
        Some(Place::Section(section)) => format!("section {section}"),
        Some(Place::Line(line)) => format!("line {line}"),
        Some(Place::MostIn(line)) => format!("most in {line}"),
        Some(Place::Node(node)) => format!("node {node}"),
        None => String::new(),
    };
    if verdict.reached { place } else { format!("{place} (not yet)").trim().to_owned() }
}
