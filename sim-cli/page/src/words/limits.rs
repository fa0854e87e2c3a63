//! Limits and how they came out, in words.

use sim_core::findings::{Place, Verdict};
use sim_core::measures::{Limit, Measure};
use sim_core::units::{UnitSystem, show};

/// The largest value that a limit allows, or what else it allows.
pub fn allowed(verdict: &Verdict, units: UnitSystem) -> String {
    bounds(verdict.measure, (verdict.at_most, verdict.at_least), units)
}

/// What a limit demands, in words: the measure and its bounds.
pub fn demanded(limit: &Limit, units: UnitSystem) -> String {
    let most = if limit.at_least.is_none() { "at most " } else { "" };
    let bounds = bounds(limit.measure, (limit.at_most, limit.at_least), units);
    format!("{} {most}{bounds}", limit.measure.words())
}

fn bounds(
    measure: Measure,
    (at_most, at_least): (Option<f64>, Option<f64>),
    units: UnitSystem,
) -> String {
    let shown = |value: f64| show(value, measure.quantity(), units);
    match (at_most, at_least) {
        (Some(most), Some(least)) => format!("{} to {}", shown(least), shown(most)),
        (most, None) => most.map(shown).unwrap_or_default(),
        (None, Some(least)) => format!("at least {}", shown(least)),
    }
}

/// The place that has the worst value, if one has.
pub fn place_name(verdict: &Verdict) -> Option<String> {
    verdict.place.as_ref().map(place_words)
}

/// A place by its kind and name.
pub fn place_words(place: &Place) -> String {
    match place {
        Place::Tip(tip) => format!("tip {tip}"),
        Place::Section(section) => format!("section {section}"),
        Place::Line(line) => format!("line {line}"),
        Place::MostIn(line) => format!("most in {line}"),
        Place::Node(node) => format!("node {node}"),
    }
}

/// Where the worst value is; empty where no one place has it.
pub fn place(verdict: &Verdict) -> String {
    let place = place_name(verdict).unwrap_or_default();
    if verdict.reached { place } else { format!("{place} (not yet)").trim().to_owned() }
}

/// Limits that are met, so many that nothing else was asked for.
pub fn limits(count: usize) -> String {
    match count {
        1 => "the one limit".into(),
        2 => "both limits".into(),
        count => format!("all {count} limits"),
    }
}
