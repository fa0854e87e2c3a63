//! A fault or a pair that was fitted, and what the readings say of it.

use super::curve::SeverityCurve;
use super::fault::Fault;
use super::fit::Fit;

/// A fault, a pair or none, fitted.
pub(super) struct Candidate {
    pub(super) faults: Vec<Fault>,
    pub(super) fit: Fit,
    /// Logarithm of its probability before anything was read.
    pub(super) log_prior: f64,
    /// Logarithm of the probability of the readings, given it.
    pub(super) log_evidence: f64,
    /// Uncertainty of each score of its severities.
    pub(super) deviations: Vec<f64>,
    /// Probability, beforehand, of severities that the readings do not show.
    pub(super) hidden: f64,
    /// Mean score of those severities.
    pub(super) hidden_mean: f64,
    /// How the readings move with it, if it is a single fault.
    pub(super) curve: Option<SeverityCurve>,
}

impl Candidate {
    /// Logarithm of prior and evidence together.
    pub(super) fn log_weight(&self) -> f64 {
        self.log_prior + self.log_evidence
    }

    /// Whether some severity shows in the readings.
    pub(super) fn is_seen(&self) -> bool {
        self.log_evidence > f64::NEG_INFINITY
    }
}
