//! How probable the readings are if nothing of the catalogue is all that is wrong.
//!
//! Two thoughts of equal weight: the best explanations hold, but every reading is off by so many times more than its accuracy; or
//! they hold but for an unknown share of the readings, which may be off by anything. A third has a share of its own: with two
//! severities free, two faults of the catalogue imitate much that is not in it, such as three faults or tips mixed up.

use super::candidate::Candidate;
use super::fit::Bench;
use super::numbers::sum_of_exponentials;
use std::f64::consts::PI;

/// Factors on the accuracy of all readings, each as probable: assumption.
const FACTORS: [f64; 6] = [1.5, 2.0, 3.0, 4.5, 7.0, 10.0];
/// How far, as a share of itself, a reading that is off by anything is off as often as not: assumption.
const OFF: f64 = 0.1;
/// Shares of readings that may be off by anything, each as probable.
const SHARES: usize = 10;
/// How often what is in no catalogue looks like two faults of it: assumption.
const LIKE_TWO_FAULTS: f64 = 0.15;
/// Explanations that may hold but for some readings.
const LEADING: usize = 12;

/// Logarithm of the probability of the readings, on the scale of [`Candidate::log_evidence`].
pub(super) fn log_evidence(bench: &Bench<'_>, candidates: &[Candidate]) -> f64 {
    let mut order: Vec<&Candidate> = candidates.iter().filter(|c| c.is_seen()).collect();
    order.sort_by(|a, b| b.log_weight().total_cmp(&a.log_weight()));
    let all = sum_of_exponentials(order.iter().map(|c| c.log_prior));
    let inflated = order.iter().flat_map(|c| {
        let freedom = bench.count() as f64 - c.fit.scores.len() as f64;
        FACTORS.map(|factor| {
            let gain = 0.5 * c.fit.misfit * (1.0 - factor.powi(-2)) - freedom * factor.ln();
            c.log_weight() + gain - all - (FACTORS.len() as f64).ln()
        })
    });
    let inflated = sum_of_exponentials(inflated);
    let some_off = order.iter().take(LEADING).map(|c| some_off(bench, c) - all);
    let some_off = sum_of_exponentials(some_off);
    let readings_off = sum_of_exponentials([inflated, some_off].into_iter()) - 2f64.ln();
    let pairs = order.iter().filter(|c| c.faults.len() == 2);
    let like_two = sum_of_exponentials(pairs.map(|c| c.log_weight()))
        - bench.priors.two_faults.max(f64::MIN_POSITIVE).ln();
    let thoughts = [(1.0 - LIKE_TWO_FAULTS).ln() + readings_off, LIKE_TWO_FAULTS.ln() + like_two];
    sum_of_exponentials(thoughts.into_iter())
}

/// Logarithm of prior and evidence of `candidate`, were some of the readings off by anything.
fn some_off(bench: &Bench<'_>, candidate: &Candidate) -> f64 {
    let rows: Vec<(f64, f64)> = bench
        .residuals
        .iter()
        .zip(&candidate.fit.predicted)
        .map(|(r, predicted)| {
            let off = (r.read - predicted).abs();
            let scale = (OFF * r.read.abs().max(predicted.abs())).max(r.sigma);
            let by_accuracy = (-0.5 * (off / r.sigma).powi(2)).exp();
            // A Cauchy density over the normal one's largest value.
            let by_anything =
                (2.0 * PI).sqrt() * r.sigma / (PI * scale * (1.0 + (off / scale).powi(2)));
            (by_accuracy, by_anything)
        })
        .collect();
    let shares = (0..SHARES).map(|k| (k as f64 + 0.5) / SHARES as f64);
    let of_share = shares.map(|share| {
        let one = |(by_accuracy, by_anything): &(f64, f64)| {
            ((1.0 - share) * by_accuracy + share * by_anything).ln()
        };
        rows.iter().map(one).sum::<f64>() - (SHARES as f64).ln()
    });
    candidate.log_weight() + 0.5 * candidate.fit.misfit + sum_of_exponentials(of_share)
}
