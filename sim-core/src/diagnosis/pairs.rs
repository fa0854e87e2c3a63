//! Pairs of faults, tried where no single fault explains the readings.

use super::candidate::Candidate;
use super::fault::Fault;
use super::fit::{Bench, Fit};
use rayon::prelude::*;

/// First faults that a second one is tried beside.
const FIRSTS: usize = 12;
/// Pairs fitted fully.
const FITTED: usize = 24;
/// Most free severities of a pair.
const SIZES: f64 = 2.0;

/// Pairs that could outweigh every single candidate, fitted.
///
/// A pair cannot leave less than nothing unexplained: where its penalty alone exceeds the best single score, none is
/// tried. Otherwise every fault is tried beside the best single ones in the severity it was fitted with alone, and the most
/// promising pairs are fitted fully.
pub(super) fn candidates(
    bench: &Bench<'_>,
    singles: &[Candidate],
    healthy: &Candidate,
    prior: &(dyn Fn(Fault, Fault) -> f64 + Sync),
) -> Vec<Candidate> {
    let count = bench.residuals.len();
    let score = |c: &Candidate| c.score(count);
    let best = singles.iter().map(score).fold(score(healthy), f64::min);
    let mut order: Vec<&Candidate> = singles.iter().filter(|c| c.seen).collect();
    order.sort_by(|a, b| score(a).total_cmp(&score(b)));
    let mut tried: Vec<([Fault; 2], f64)> = Vec::new();
    for (i, first) in order.iter().take(FIRSTS).enumerate() {
        for second in &order[i + 1..] {
            let pair = [first.faults[0], second.faults[0]];
            let free = (first.fit.log_severities.len() + second.fit.log_severities.len()) as f64;
            let penalty =
                free.min(SIZES) * (count as f64).ln() - 2.0 * prior(pair[0], pair[1]).ln();
            if plausible(pair) && penalty < best {
                tried.push((pair, promise(bench, first, second, healthy) + penalty));
            }
        }
    }
    tried.sort_by(|a, b| a.1.total_cmp(&b.1));
    tried.truncate(FITTED);
    let fit = |(pair, _): &([Fault; 2], f64)| {
        let start = start(bench, pair, singles)?;
        let fit = bench.fit(pair, &start);
        let prior = prior(pair[0], pair[1]);
        Some(Candidate { faults: pair.to_vec(), fit, prior, seen: true })
    };
    tried.par_iter().filter_map(fit).collect()
}

/// Whether two faults can occur together: not two of the same place that do the same.
fn plausible(pair: [Fault; 2]) -> bool {
    pair[0].spot != pair[1].spot
}

/// Misfit expected of a pair if effects add and each may be scaled: the least of a sum of squares in two unknowns.
fn promise(bench: &Bench<'_>, a: &Candidate, b: &Candidate, healthy: &Candidate) -> f64 {
    let mut sums = [0.0; 6];
    for (i, r) in bench.residuals.iter().enumerate() {
        let base = healthy.fit.predicted[i];
        let (x, y) = ((a.fit.predicted[i] - base) / r.sigma, (b.fit.predicted[i] - base) / r.sigma);
        let z = (r.read - base) / r.sigma;
        let terms = [x * x, x * y, y * y, x * z, y * z, z * z];
        sums.iter_mut().zip(terms).for_each(|(sum, term)| *sum += term);
    }
    let [xx, xy, yy, xz, yz, zz] = sums;
    let determinant = xx * yy - xy * xy;
    if determinant < 1e-9 * xx * yy {
        return zz;
    }
    let (p, q) = ((xz * yy - yz * xy) / determinant, (yz * xx - xz * xy) / determinant);
    if p <= 0.0 || q <= 0.0 {
        return zz;
    }
    (zz - p * xz - q * yz).max(0.0)
}

/// The severities each of `pair` was fitted with alone, together.
fn start(bench: &Bench<'_>, pair: &[Fault; 2], singles: &[Candidate]) -> Option<Fit> {
    let alone = |fault: Fault| singles.iter().find(|c| c.faults[0] == fault);
    let mut log_severities = alone(pair[0])?.fit.log_severities.clone();
    log_severities.extend(&alone(pair[1])?.fit.log_severities);
    let machine = bench.machine(pair, &log_severities);
    let instants = bench.run(&machine)?;
    let predicted = bench.predict(&machine, &instants);
    Some(Fit { log_severities, misfit: bench.misfit(&predicted), predicted })
}
