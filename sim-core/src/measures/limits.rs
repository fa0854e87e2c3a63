//! What is demanded of measures.

use super::catalogue::Measure;

/// What is demanded of one measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Of which.
    pub measure: Measure,
    /// The largest value that meets it, SI, if there is one.
    pub at_most: Option<f64>,
    /// The smallest value that meets it, SI, if there is one.
    pub at_least: Option<f64>,
    /// Who demands it: `scenario`, or a standard and how its figure is known.
    pub source: String,
}

/// What the user or a standard demands: at most one limit a measure, in the order of the catalogue.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limits(pub Vec<Limit>);

impl Limit {
    /// At most `most`, as `source` demands.
    pub(crate) fn up_to(measure: Measure, most: f64, source: &str) -> Self {
        Self { measure, at_most: Some(most), at_least: None, source: source.to_owned() }
    }

    /// Whether `value` meets it.
    pub fn met(&self, value: f64) -> bool {
        self.at_most.is_none_or(|most| value <= most)
            && self.at_least.is_none_or(|least| value >= least)
    }
}

impl Limits {
    /// The limit on `measure`, if there is one.
    pub fn on(&self, measure: Measure) -> Option<&Limit> {
        self.0.iter().find(|limit| limit.measure == measure)
    }

    /// The largest value of `measure` that is allowed, if anything is said.
    pub fn most(&self, measure: Measure) -> Option<f64> {
        self.on(measure)?.at_most
    }
}
