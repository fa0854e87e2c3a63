//! A fault or a pair that was fitted, and its score.

use super::fault::Fault;
use super::fit::Fit;

/// A fault or a pair that was fitted.
pub(super) struct Candidate {
    pub(super) faults: Vec<Fault>,
    pub(super) fit: Fit,
    /// Probability before anything was read.
    pub(super) prior: f64,
    /// Whether any reading would show it.
    pub(super) seen: bool,
}

impl Candidate {
    /// Misfit with the penalty for freedom: the Bayesian information criterion (Schwarz 1978) with known accuracies, and
    /// twice the logarithm of the prior, by which a fault that could sit in many places pays for the choice (the extended
    /// criterion of Chen & Chen 2008; both from memory).
    pub(super) fn score(&self, count: usize) -> f64 {
        let free = self.fit.log_severities.len() as f64;
        self.fit.misfit + free * (count as f64).ln() - 2.0 * self.prior.ln()
    }
}
