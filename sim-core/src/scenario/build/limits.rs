//! Limits: what the scenario or a published standard demands.

use super::super::model::{Limit, Limits};
use super::super::value::{Checked, LimitText};

/// What standards and the trade demand where the scenario says nothing else.
const DEFAULTS: [(&str, f64, &str); 5] = [
    ("section_drop", 0.10, "ISO 16122-2, from memory"),
    ("section_balance", 0.10, "ISO 16122-2, from memory"),
    ("tip_flow", 0.05, "ISO 16122-2, from memory"),
    ("velocity", 3.0, "common practice, no source"),
    ("suction_velocity", 1.2, "common practice, no source"),
];

/// The limit that holds for `key` where nothing else is said, and who demands it.
pub(in crate::scenario) fn usual(key: &str) -> Option<(f64, &'static str)> {
    let found = DEFAULTS.iter().find(|(name, ..)| *name == key);
    found.map(|(_, at_most, source)| (*at_most, *source))
}

/// The limits of `table` over those of standards.
pub(super) fn limits(table: Option<&Checked>) -> Limits {
    let of = |key: &str| match table.and_then(|table| table.limit(key)) {
        Some(LimitText::Off) => None,
        Some(LimitText::AtMost(at_most, source)) => Some(Limit {
            at_most: *at_most,
            source: source.clone().unwrap_or_else(|| "scenario".into()),
        }),
        None => usual(key).map(|(at_most, source)| Limit { at_most, source: source.into() }),
    };
    Limits {
        spread: of("spread"),
        section_drop: of("section_drop"),
        section_balance: of("section_balance"),
        tip_flow: of("tip_flow"),
        tip_flow_variation: of("tip_flow_variation"),
        velocity_m_s: of("velocity"),
        suction_velocity_m_s: of("suction_velocity"),
        rate: of("rate"),
        prime_within_s: of("prime_within"),
        rinsed_to: of("rinsed_to"),
        left_behind_m3: of("left_behind"),
        lost_m3: of("lost"),
    }
}
