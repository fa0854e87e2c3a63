//! What may be demanded of the findings: a key for each measure of a step, from the catalogue.

use super::declare::key;
use super::{Key, Kind, TableSpec};
use crate::measures::Measure;

pub(in crate::scenario) static LIMITS: TableSpec = TableSpec {
    doc: "Limits on the findings: a value, `\"off\"`, or a table of `at_most`, `at_least` and `source`. A value alone \
          is the most that is allowed, or the least where more is better.",
    stretches: &[&KEYS],
};

static KEYS: [Key; count()] = keys();

/// Keys of `measure`: its own, and the one it had before.
const fn keys_of(measure: Measure) -> [Option<&'static str>; 2] {
    [measure.limit_key(), measure.earlier_key()]
}

const fn count() -> usize {
    let (mut count, mut i) = (0, 0);
    while i < 2 * Measure::ALL.len() {
        count += keys_of(Measure::ALL[i / 2])[i % 2].is_some() as usize;
        i += 1;
    }
    count
}

const fn keys() -> [Key; count()] {
    let mut keys = [key("", Kind::Text, ""); count()];
    let (mut next, mut i) = (0, 0);
    while i < 2 * Measure::ALL.len() {
        let measure = Measure::ALL[i / 2];
        if let Some(name) = keys_of(measure)[i % 2] {
            let doc = if i % 2 == 0 { measure.doc() } else { "The key above by its earlier name." };
            keys[next] = key(name, Kind::Limit(measure), doc);
            next += 1;
        }
        i += 1;
    }
    keys
}
