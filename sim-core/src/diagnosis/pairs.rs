//! Pairs of faults.
//!
//! Every two faults are tried with what each moves by itself, both of either sign and any severity: of two that hide each other
//! neither looks likely alone. The most promising are solved together.

use super::candidate::Candidate;
use super::curve::SeverityCurve;
use super::fault::Fault;
use super::fit::{Bench, Fit};
use super::numbers::square;
use nalgebra::{DMatrix, DVector};
use rayon::prelude::*;

/// Pairs looked at more closely, still with what each fault moves by itself.
const CLOSER: usize = 160;
/// Pairs solved.
const SOLVED: usize = 24;
/// Pairs fitted with derivatives of their own.
const FITTED: usize = 4;
/// Twice the logarithm of the probability by which a pair may be behind the best explanation and still be worth a look, and worth
/// solving once its severities are weighed: of two that move the readings alike the second costs hardly anything.
const WORTH_A_LOOK: f64 = 22.0;
const WORTH_SOLVING: f64 = 16.0;
/// What a severity that was fitted costs, about, in twice the logarithm of the probability.
const SEVERITY_COST: f64 = 6.0;
/// Steps of a fit with what faults move by themselves.
const STEPS: usize = 8;
/// Range in which the effect of a solved severity may be scaled to stand for those beside it.
const SCALES: (f64, f64) = (0.6, 1.7);
/// Step of a score below which a fit has settled.
const SETTLED: f64 = 5e-3;

/// A single fault as one half of a pair.
struct Half<'c> {
    fault: Fault,
    curve: &'c SeverityCurve,
    /// Scores solved with how far the readings are moved, the square of that, and its product with the readings.
    effects: Vec<(f64, &'c [f64], f64, f64)>,
}

/// The pairs most worth a look, fitted; `best` is the logarithm of the weight of the best explanation so far.
pub(super) fn candidates(
    bench: &Bench<'_>,
    singles: &[Candidate],
    best: f64,
    log_prior: &(dyn Fn(Fault, Fault) -> f64 + Sync),
) -> Vec<Candidate> {
    let target = bench.target();
    let halves: Vec<Half<'_>> = singles.iter().filter_map(|c| half(c, &target)).collect();
    let worth = WORTH_A_LOOK - 2.0 * best;
    let mut tried: Vec<Tried<'_, '_>> = (0..halves.len())
        .into_par_iter()
        .flat_map_iter(|i| promising(&halves[i..], square(&target), worth, log_prior))
        .collect();
    tried.sort_by(|a, b| a.score.total_cmp(&b.score));
    tried.truncate(CLOSER);
    tried.par_iter_mut().for_each(|tried| tried.look_closer(&target));
    tried.retain(|tried| tried.score < WORTH_SOLVING - 2.0 * best);
    tried.sort_by(|a, b| a.score.total_cmp(&b.score));
    tried.truncate(SOLVED);
    let solve = |tried: Tried<'_, '_>| tried.pair.solved(bench, &target, tried.scores);
    let mut solved: Vec<Candidate> = tried.into_par_iter().filter_map(solve).collect();
    solved.sort_by(|a, b| b.log_weight().total_cmp(&a.log_weight()));
    let fitted = FITTED.min(solved.len());
    solved[..fitted].par_iter_mut().for_each(|candidate| fit_whole(bench, candidate));
    solved
}

/// A pair with the scores of its severities so far, and minus twice the logarithm of its weight.
struct Tried<'h, 'c> {
    score: f64,
    pair: FaultPair<'h, 'c>,
    scores: Vec<f64>,
}

impl Tried<'_, '_> {
    fn look_closer(&mut self, target: &[f64]) {
        self.scores = self.pair.additive(target, std::mem::take(&mut self.scores));
        let left = self.pair.left(target, &self.scores);
        self.score = -2.0 * self.pair.log_weight(&left, &self.scores);
    }
}

/// The first of `halves` with each of the others, where it may be worth a look; `zz` is the misfit of no fault.
fn promising<'h, 'c>(
    halves: &'h [Half<'c>],
    zz: f64,
    worth: f64,
    log_prior: &(dyn Fn(Fault, Fault) -> f64 + Sync),
) -> Vec<Tried<'h, 'c>> {
    let first = &halves[0];
    let one = |second: &'h Half<'c>| {
        let (misfit, scores) = promise(first, second, zz);
        let log_prior = log_prior(first.fault, second.fault);
        let pair = FaultPair { halves: [first, second], log_prior };
        let scores = pair.free(scores);
        let score =
            misfit + square(&scores) + SEVERITY_COST * scores.len() as f64 - 2.0 * log_prior;
        Tried { score, pair, scores }
    };
    let rest = halves[1..].iter().filter(|second| plausible(first, second));
    rest.map(one).filter(|tried| tried.score < worth).collect()
}

fn half<'c>(candidate: &'c Candidate, target: &[f64]) -> Option<Half<'c>> {
    let curve = candidate.curve.as_ref().filter(|_| candidate.is_seen())?;
    let effect = |(score, moved): (f64, &'c Vec<f64>)| {
        (score, &moved[..], square(moved), dot(moved, target))
    };
    let effects = curve.solved().map(effect).filter(|(_, _, xx, _)| *xx > 1.0).collect();
    Some(Half { fault: candidate.faults[0], curve, effects })
}

/// Whether two faults can occur together: not two of the same place.
fn plausible(a: &Half<'_>, b: &Half<'_>) -> bool {
    a.fault.spot != b.fault.spot
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Least misfit of a pair if effects add and each may be scaled a little, with the scores of the severities it is at; `zz` is
/// the misfit of no fault.
fn promise(a: &Half<'_>, b: &Half<'_>, zz: f64) -> (f64, [f64; 2]) {
    let mut best = (f64::INFINITY, f64::INFINITY, [0.0, 0.0]);
    for (za, x, xx, xz) in &a.effects {
        for (zb, y, yy, yz) in &b.effects {
            let xy = dot(x, y);
            let (p, q) =
                scales((*xx, xy, *yy), (*xz, *yz), (a.curve.is_sized(), b.curve.is_sized()));
            let misfit = zz - 2.0 * (p * xz + q * yz) + p * p * xx + 2.0 * p * q * xy + q * q * yy;
            let objective = misfit + za * za + zb * zb;
            if objective < best.0 {
                best = (objective, misfit, [*za, *zb]);
            }
        }
    }
    (best.1, best.2)
}

/// The scales of two effects that leave least, within their range.
fn scales(
    (xx, xy, yy): (f64, f64, f64),
    (xz, yz): (f64, f64),
    (a_free, b_free): (bool, bool),
) -> (f64, f64) {
    let within = |scale: f64, free: bool| if free { scale.clamp(SCALES.0, SCALES.1) } else { 1.0 };
    let determinant = xx * yy - xy * xy;
    if determinant < 1e-9 * xx * yy {
        return (1.0, 1.0);
    }
    let p = within((xz * yy - yz * xy) / determinant, a_free);
    let q = within((yz - p * xy) / yy, b_free);
    (within((xz - q * xy) / xx, a_free), q)
}

/// Two faults with what each moves by itself.
struct FaultPair<'h, 'c> {
    halves: [&'h Half<'c>; 2],
    log_prior: f64,
}

impl FaultPair<'_, '_> {
    /// Those of `scores` that are of faults with a severity.
    fn free(&self, scores: [f64; 2]) -> Vec<f64> {
        let both = self.halves.iter().zip(scores);
        both.filter(|(half, _)| half.curve.is_sized()).map(|(_, z)| z).collect()
    }

    /// Each half with its score.
    fn each<'s>(&'s self, scores: &'s [f64]) -> impl Iterator<Item = (&'s Half<'s>, f64)> {
        let mut left = scores.iter().copied();
        self.halves.iter().map(move |half| {
            let score = if half.curve.is_sized() { left.next().unwrap_or(0.0) } else { 0.0 };
            (*half as &Half<'_>, score)
        })
    }

    /// What is left of `target` if effects add.
    fn left(&self, target: &[f64], scores: &[f64]) -> Vec<f64> {
        let mut left = target.to_vec();
        for (half, score) in self.each(scores) {
            left.iter_mut().zip(half.curve.at(score)).for_each(|(left, y)| *left -= y);
        }
        left
    }

    fn slopes(&self, scores: &[f64]) -> DMatrix<f64> {
        let sized = self.each(scores).filter(|(half, _)| half.curve.is_sized());
        let columns: Vec<Vec<f64>> = sized.map(|(half, z)| half.curve.slope_at(z)).collect();
        let rows = columns.first().map_or(0, Vec::len);
        DMatrix::from_fn(rows, columns.len(), |i, j| columns[j][i])
    }

    fn clamp(&self, scores: &DVector<f64>) -> Vec<f64> {
        let sized = self.halves.iter().filter(|half| half.curve.is_sized());
        sized.zip(scores.iter()).map(|(half, z)| half.curve.clamp(*z)).collect()
    }

    /// The step that would leave least, were everything straight.
    fn step(&self, left: &[f64], scores: &[f64]) -> Option<DVector<f64>> {
        let slopes = self.slopes(scores);
        let curvature = curvature(&slopes);
        let down =
            slopes.tr_mul(&DVector::from_column_slice(left)) - DVector::from_column_slice(scores);
        Some(curvature.cholesky()?.solve(&down))
    }

    /// Steps from `scores` on as long as what `left` says is left gets less.
    fn descend(
        &self,
        mut scores: Vec<f64>,
        left: impl Fn(&[f64]) -> Option<Vec<f64>>,
    ) -> Option<(Vec<f64>, Vec<f64>)> {
        let mut rest = left(&scores)?;
        let mut share = 1.0;
        for _ in 0..if scores.is_empty() { 0 } else { STEPS } {
            let Some(step) = self.step(&rest, &scores).filter(|step| step.norm() > SETTLED) else {
                break;
            };
            let next = self.clamp(&(DVector::from_column_slice(&scores) + share * step));
            let there = left(&next)
                .filter(|there| square(there) + square(&next) < square(&rest) + square(&scores));
            match there {
                Some(there) => (scores, rest) = (next, there),
                None => share *= 0.4,
            }
        }
        Some((scores, rest))
    }

    /// Scores that leave least if effects add.
    fn additive(&self, target: &[f64], scores: Vec<f64>) -> Vec<f64> {
        let found = self.descend(scores.clone(), |z| Some(self.left(target, z)));
        found.map_or(scores, |(scores, _)| scores)
    }

    /// Logarithm of prior and evidence (Laplace's approximation) where `left` is left at `scores`.
    fn log_weight(&self, left: &[f64], scores: &[f64]) -> f64 {
        let curvature = curvature(&self.slopes(scores));
        self.log_prior - 0.5 * (square(left) + square(scores) + curvature.determinant().ln())
    }

    /// The pair solved, with derivatives as if effects added.
    fn solved(&self, bench: &Bench<'_>, target: &[f64], scores: Vec<f64>) -> Option<Candidate> {
        let faults = [self.halves[0].fault, self.halves[1].fault];
        let moved = |z: &[f64]| Some(bench.moved(&bench.predicted(&faults, z)?));
        let left = |z: &[f64]| Some(target.iter().zip(moved(z)?).map(|(t, y)| t - y).collect());
        let (scores, left) = self.descend(scores, left)?;
        let (log_weight, misfit) = (self.log_weight(&left, &scores), square(&left));
        let rows = bench.residuals.iter().zip(bench.differences(&left));
        let predicted = rows.map(|(r, left)| r.read - left).collect();
        let curvature = curvature(&self.slopes(&scores));
        Some(Candidate {
            faults: faults.to_vec(),
            deviations: deviations(&curvature, scores.len()),
            fit: Fit { scores, misfit, predicted },
            log_prior: self.log_prior,
            log_evidence: log_weight - self.log_prior,
            hidden: 0.0,
            hidden_mean: 0.0,
            curve: None,
        })
    }
}

/// Curvature of half the misfit and of what is known beforehand, by the scores.
fn curvature(slopes: &DMatrix<f64>) -> DMatrix<f64> {
    let free = slopes.ncols();
    slopes.tr_mul(slopes) + DMatrix::identity(free, free)
}

fn deviations(curvature: &DMatrix<f64>, free: usize) -> Vec<f64> {
    let inverse = curvature.clone().try_inverse();
    (0..free).map(|i| inverse.as_ref().map_or(1.0, |m| m[(i, i)].max(0.0).sqrt())).collect()
}

/// Fits a pair with derivatives of its own.
fn fit_whole(bench: &Bench<'_>, candidate: &mut Candidate) {
    let fit = bench.fit(&candidate.faults, &candidate.fit);
    let Some(slopes) = bench.slopes(&candidate.faults, &fit) else { return };
    let curvature = curvature(&slopes);
    candidate.log_evidence = -0.5 * (fit.objective() + curvature.determinant().ln());
    candidate.deviations = deviations(&curvature, fit.scores.len());
    candidate.fit = fit;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnosis::fault::{FaultKind, Spot};
    use crate::plumbing::BranchId;
    use approx::assert_relative_eq;

    #[test]
    fn the_weight_of_two_faults_that_move_readings_straight_is_that_of_a_normal_distribution() {
        // t = J z + noise: normal of covariance 1 + J J' (Bishop 2006, 2.115, from memory).
        let slopes = [[5.0, -2.0, 0.5, 1.0], [1.0, 4.0, -3.0, 0.2]];
        let target = [3.0, -9.0, 8.0, 0.5];
        let curves = slopes.map(|slopes| SeverityCurve::straight(&slopes));
        let half = |i: usize| Half {
            fault: Fault { kind: FaultKind::GaugeOff, spot: Spot::Branch(BranchId::at(i)) },
            curve: &curves[i],
            effects: Vec::new(),
        };
        let halves = [half(0), half(1)];
        let pair = FaultPair { halves: [&halves[0], &halves[1]], log_prior: -3.0 };
        let scores = pair.additive(&target, vec![0.0, 0.0]);
        let found = pair.log_weight(&pair.left(&target, &scores), &scores);
        let t = DVector::from_column_slice(&target);
        let j = DMatrix::from_fn(4, 2, |row, column| slopes[column][row]);
        let covariance = DMatrix::identity(4, 4) + &j * j.transpose();
        let quadratic = t.dot(&(covariance.clone().try_inverse().unwrap() * &t));
        let expected = -3.0 - 0.5 * (quadratic + covariance.determinant().ln());
        assert_relative_eq!(found, expected, epsilon = 1e-3);
    }

    #[test]
    fn two_faults_that_hide_each_other_promise_to_explain_what_neither_does_alone() {
        // The first moves both readings up, the second the first one down: together only the second reading moves.
        let curves =
            [SeverityCurve::straight(&[20.0, 20.0]), SeverityCurve::straight(&[-20.0, 0.0])];
        let effects = |curve: &'_ SeverityCurve| {
            let target = [0.0, 30.0];
            let effect = |(z, y): (f64, &Vec<f64>)| (z, y.clone(), square(y), dot(y, &target));
            curve.solved().map(effect).collect::<Vec<_>>()
        };
        let both = [effects(&curves[0]), effects(&curves[1])];
        let half = |i: usize| Half {
            fault: Fault { kind: FaultKind::GaugeOff, spot: Spot::Branch(BranchId::at(i)) },
            curve: &curves[i],
            effects: both[i].iter().map(|(z, y, xx, xz)| (*z, &y[..], *xx, *xz)).collect(),
        };
        let (misfit, [a, b]) = promise(&half(0), &half(1), 900.0);
        assert!(misfit < 1.0 && a > 0.0 && b > 0.0, "{misfit} {a} {b}");
    }
}
