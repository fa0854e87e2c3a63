//! How the readings move as one fault grows, and how probable the readings are with the fault of any severity.
//!
//! A fault is solved at a few severities; between them every reading is a cubic curve. The probability of the readings, given the
//! fault, is the integral of their probability over the severities as they are known beforehand (the marginal likelihood). More
//! severities are solved where that probability is.

use super::fault::Fault;
use super::fit::Bench;
use super::numbers::square;

/// Standard scores at which a fault is solved at first, the ends before what is between them.
const FIRST_SCORES: [f64; 5] = [-2.8, 2.8, 0.0, -1.4, 1.4];
/// Standard scores at which it is solved then, unless it is hopeless.
const SECOND_SCORES: [f64; 4] = [-2.1, -0.7, 0.7, 2.1];
/// Distance of the healthy machine, in accuracies, that the ends must be within for a fault to count as one that never shows.
const NEVER_SHOWN: f64 = 0.3;
/// Spacing of the standard scores that are summed over.
const FINE: f64 = 0.01;
/// Steps to the most probable score from the nearest that was summed over.
const TOP_STEPS: usize = 3;
/// Distance from the healthy machine, in accuracies, from which the readings show a fault. The mean log-odds that they give are
/// half its square, 90 to 1: about what is needed against the odds of some hundred places before anything is read.
const SHOWN: f64 = 3.0;
/// Most times that a curve is solved at more severities.
const ROUNDS: usize = 6;
/// Score from a solved one, in the uncertainty of the score, from which another is solved.
const NEAR: f64 = 0.35;
/// Least uncertainty of a score that solving goes after.
const LEAST_UNCERTAINTY: f64 = 0.004;
/// Misfit from which severities are not worth another look, and what it grows by with the least one: of a curve through scores solved
/// beforehand, which may miss where readings turn, and of one solved where it is best.
const HOPELESS_AT_FIRST: (f64, f64) = (600.0, 20.0);
const HOPELESS: (f64, f64) = (60.0, 2.0);

/// A fault's readings over its severities.
#[derive(Clone, Debug)]
pub(super) struct SeverityCurve {
    /// Whether it has a severity; if not, there is one point.
    sized: bool,
    /// Standard scores solved, rising.
    scores: Vec<f64>,
    /// How far each reading is from the healthy machine's at each of them, in accuracies.
    moved: Vec<Vec<f64>>,
    /// The nearest scores beyond the ends that have no state of flow.
    unsolved: (f64, f64),
}

/// The readings, given a fault of unknown severity.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weighed {
    /// Logarithm of the probability of the readings and of a severity that they show.
    pub(super) log_evidence: f64,
    /// Probability, beforehand, of a severity that the readings do not show.
    pub(super) hidden: f64,
    /// Mean standard score of those severities.
    pub(super) hidden_mean: f64,
    /// Standard score that is most probable now among those that show; 0 where the fault has no severity.
    pub(super) best: f64,
    /// Mean and standard deviation of the score among those that show.
    pub(super) mean: f64,
    pub(super) deviation: f64,
    /// Misfit at the best score.
    pub(super) misfit: f64,
}

impl SeverityCurve {
    /// The readings of the machine with `fault`; `None` where no severity has a state of flow.
    pub(super) fn of(bench: &Bench<'_>, fault: Fault) -> Option<Self> {
        let sized = bench.priors.severity(fault.kind).is_some();
        let mut curve = Self {
            sized,
            scores: Vec::new(),
            moved: Vec::new(),
            unsolved: (f64::NEG_INFINITY, f64::INFINITY),
        };
        if !sized {
            curve.solve(bench, fault, 0.0);
        } else {
            for score in FIRST_SCORES {
                if curve.scores.len() < 2 || !curve.never_shows() {
                    curve.solve(bench, fault, score);
                }
            }
        }
        (!curve.scores.is_empty()).then_some(curve)
    }

    /// Whether nothing solved so far is off the healthy machine.
    fn never_shows(&self) -> bool {
        self.moved.iter().all(|moved| square(moved) < NEVER_SHOWN * NEVER_SHOWN)
    }

    /// Solves the fault at `score`, unless it lies beyond what has a state of flow.
    fn solve(&mut self, bench: &Bench<'_>, fault: Fault, score: f64) {
        if score <= self.unsolved.0 || score >= self.unsolved.1 {
            return;
        }
        let scores = if self.sized { vec![score] } else { vec![] };
        match bench.predicted(&[fault], &scores) {
            Some(predicted) => {
                let at = self.scores.partition_point(|z| *z < score);
                self.scores.insert(at, score);
                self.moved.insert(at, bench.moved(&predicted));
            }
            // Faults lose their solution where they are large, to either side of none.
            None if score < self.scores.first().copied().unwrap_or(0.0) => {
                self.unsolved.0 = self.unsolved.0.max(score);
            }
            None => self.unsolved.1 = self.unsolved.1.min(score),
        }
    }

    /// The readings at `score`, within what was solved, as they differ from the healthy machine's.
    pub(super) fn at(&self, score: f64) -> Vec<f64> {
        let (i, [a, b, c, d]) = self.weights(score);
        let last = self.scores.len() - 1;
        let slopes = (self.slope(i), self.slope((i + 1).min(last)));
        let next = &self.moved[(i + 1).min(last)];
        let rows = self.moved[i].iter().zip(next).zip(slopes.0.iter().zip(&slopes.1));
        rows.map(|((y0, y1), (m0, m1))| a * y0 + b * m0 + c * y1 + d * m1).collect()
    }

    /// Change of the readings with the score at `score`.
    pub(super) fn slope_at(&self, score: f64) -> Vec<f64> {
        let half = 0.5 * FINE;
        let (low, high) = (self.clamp(score - half), self.clamp(score + half));
        if high <= low {
            return vec![0.0; self.moved[0].len()];
        }
        let rows = self.at(high).into_iter().zip(self.at(low));
        rows.map(|(b, a)| (b - a) / (high - low)).collect()
    }

    /// `score` brought within what was solved.
    pub(super) fn clamp(&self, score: f64) -> f64 {
        score.clamp(self.scores[0], self.scores[self.scores.len() - 1])
    }

    /// The scores solved, with how far the readings are from the healthy machine's there.
    pub(super) fn solved(&self) -> impl Iterator<Item = (f64, &Vec<f64>)> {
        self.scores.iter().copied().zip(&self.moved)
    }

    /// Whether the fault has a severity.
    pub(super) fn is_sized(&self) -> bool {
        self.sized
    }

    /// The stretch that `score` is in, and the weights of value and slope at its ends (cubic Hermite).
    fn weights(&self, score: f64) -> (usize, [f64; 4]) {
        let i = self.scores.partition_point(|z| *z <= score).saturating_sub(1);
        let Some(end) = self.scores.get(i + 1) else { return (i, [1.0, 0.0, 0.0, 0.0]) };
        let width = end - self.scores[i];
        let t = ((score - self.scores[i]) / width).clamp(0.0, 1.0);
        let (t2, t3) = (t * t, t * t * t);
        let slopes = [(t3 - 2.0 * t2 + t) * width, (t3 - t2) * width];
        (i, [2.0 * t3 - 3.0 * t2 + 1.0, slopes[0], 3.0 * t2 - 2.0 * t3, slopes[1]])
    }

    /// Slopes at solved score `i`: of the parabola through it and its neighbours.
    fn slope(&self, i: usize) -> Vec<f64> {
        let last = self.scores.len() - 1;
        let secant = |k: usize| {
            let width = self.scores[k + 1] - self.scores[k];
            let rows = self.moved[k + 1].iter().zip(&self.moved[k]);
            rows.map(|(b, a)| (b - a) / width).collect::<Vec<f64>>()
        };
        if last == 0 {
            return vec![0.0; self.moved[0].len()];
        }
        if i == 0 || i == last {
            return secant(if i == 0 { 0 } else { last - 1 });
        }
        let (before, after) =
            (self.scores[i] - self.scores[i - 1], self.scores[i + 1] - self.scores[i]);
        let rows = secant(i - 1).into_iter().zip(secant(i));
        rows.map(|(s0, s1)| (s0 * after + s1 * before) / (before + after)).collect()
    }

    /// Every score summed over with its probability beforehand, and what is left of `target` there.
    pub(super) fn fine(&self, target: &[f64], mut each: impl FnMut(f64, f64, &[f64], &[f64])) {
        let mut moved = vec![0.0; target.len()];
        let mut left = vec![0.0; target.len()];
        if self.scores.len() == 1 {
            let rest = target.iter().zip(&self.moved[0]).map(|(t, y)| t - y);
            left.iter_mut().zip(rest).for_each(|(left, rest)| *left = rest);
            each(self.scores[0], 1.0, &self.moved[0], &left);
            return;
        }
        let slopes: Vec<Vec<f64>> = (0..self.scores.len()).map(|i| self.slope(i)).collect();
        for i in 0..self.scores.len() - 1 {
            let width = self.scores[i + 1] - self.scores[i];
            let steps = (width / FINE).ceil().max(1.0) as usize;
            let step = width / steps as f64;
            for k in 0..steps {
                // Middles of steps: the rule of midpoints.
                let score = self.scores[i] + (k as f64 + 0.5) * step;
                let (_, [a, b, c, d]) = self.weights(score);
                for row in 0..target.len() {
                    let (y0, y1) = (self.moved[i][row], self.moved[i + 1][row]);
                    moved[row] = a * y0 + b * slopes[i][row] + c * y1 + d * slopes[i + 1][row];
                    left[row] = target[row] - moved[row];
                }
                each(score, step * normal(score), &moved, &left);
            }
        }
    }

    /// The readings, which differ from the healthy machine's by `target`, given this fault.
    pub(super) fn weighed(&self, target: &[f64]) -> Weighed {
        let mut sums = Sums::default();
        let (mut hidden, mut first) = (0.0, 0.0);
        self.fine(target, |score, weight, moved, left| {
            if square(moved) < SHOWN * SHOWN {
                hidden += weight;
                first += weight * score;
            } else if weight > 0.0 {
                sums.add(score, weight.ln() - 0.5 * square(left), square(left), normal(score).ln());
            }
        });
        let weighed = sums.weighed(hidden, if hidden > 0.0 { first / hidden } else { 0.0 });
        self.at_its_top(weighed, target)
    }

    /// `weighed` with its best score moved to where the density is highest, by Gauss and Newton: what is summed over is as coarse
    /// as readings of 1 % know a severity.
    fn at_its_top(&self, weighed: Weighed, target: &[f64]) -> Weighed {
        if !self.sized || !weighed.log_evidence.is_finite() {
            return weighed;
        }
        let left = |score: f64| -> Vec<f64> {
            target.iter().zip(self.at(score)).map(|(t, y)| t - y).collect()
        };
        let mut top = weighed.best;
        for _ in 0..TOP_STEPS {
            let (slope, left) = (self.slope_at(top), left(top));
            let rise: f64 = slope.iter().zip(&left).map(|(s, l)| s * l).sum();
            let step = (rise - top) / (square(&slope) + 1.0);
            top = self.clamp((top + step).clamp(weighed.best - FINE, weighed.best + FINE));
        }
        let misfit = square(&left(top));
        let higher = misfit + top * top < weighed.misfit + weighed.best * weighed.best;
        if higher { Weighed { best: top, misfit, ..weighed } } else { weighed }
    }

    /// The same, solved at more severities where the probability of the readings is; `least` is the least misfit of any
    /// explanation so far.
    pub(super) fn refined(
        &mut self,
        bench: &Bench<'_>,
        fault: Fault,
        target: &[f64],
        least: f64,
    ) -> Weighed {
        let mut weighed = self.weighed(target);
        let hopeless = |weighed: &Weighed, (from, by): (f64, f64)| {
            weighed.misfit > from + by * least || !weighed.log_evidence.is_finite()
        };
        if !self.sized || hopeless(&weighed, HOPELESS_AT_FIRST) {
            return weighed;
        }
        SECOND_SCORES.iter().for_each(|score| self.solve(bench, fault, *score));
        weighed = self.weighed(target);
        for round in 0..ROUNDS {
            let limit = if round == 0 { HOPELESS_AT_FIRST } else { HOPELESS };
            if hopeless(&weighed, limit) {
                break;
            }
            let spread = weighed.deviation.max(LEAST_UNCERTAINTY);
            let before = self.scores.len();
            for score in [weighed.best, weighed.mean - 1.5 * spread, weighed.mean + 1.5 * spread] {
                let score = self.clamp(score);
                if self.scores.iter().all(|z| (z - score).abs() > NEAR * spread) {
                    self.solve(bench, fault, score);
                }
            }
            self.reach_on(bench, fault, weighed.best);
            if self.scores.len() == before {
                break;
            }
            weighed = self.weighed(target);
        }
        weighed
    }

    /// Solves beyond an end where the best score is, half way to what has no state of flow.
    fn reach_on(&mut self, bench: &Bench<'_>, fault: Fault, best: f64) {
        let (first, last) = (self.scores[0], self.scores[self.scores.len() - 1]);
        if best - first < 2.0 * FINE && self.unsolved.0.is_finite() {
            self.solve(bench, fault, 0.5 * (first + self.unsolved.0));
        }
        if last - best < 2.0 * FINE && self.unsolved.1.is_finite() {
            self.solve(bench, fault, 0.5 * (last + self.unsolved.1));
        }
    }
}

/// Sums over severities, kept from under- and overflowing by their largest term.
struct Sums {
    largest: f64,
    all: f64,
    first: f64,
    second: f64,
    /// Logarithm of the density, score and misfit of the most probable severity.
    best: (f64, f64, f64),
}

impl Default for Sums {
    fn default() -> Self {
        let least = f64::NEG_INFINITY;
        Self {
            largest: least,
            all: 0.0,
            first: 0.0,
            second: 0.0,
            best: (least, 0.0, f64::INFINITY),
        }
    }
}

impl Sums {
    fn add(&mut self, score: f64, log_weight: f64, misfit: f64, log_prior: f64) {
        if log_weight > self.largest {
            let scale = (self.largest - log_weight).exp();
            self.all *= scale;
            self.first *= scale;
            self.second *= scale;
            self.largest = log_weight;
        }
        let weight = (log_weight - self.largest).exp();
        self.all += weight;
        self.first += weight * score;
        self.second += weight * score * score;
        let density = log_prior - 0.5 * misfit;
        if density > self.best.0 {
            self.best = (density, score, misfit);
        }
    }

    fn weighed(self, hidden: f64, hidden_mean: f64) -> Weighed {
        let mean = if self.all > 0.0 { self.first / self.all } else { 0.0 };
        let variance = if self.all > 0.0 { self.second / self.all - mean * mean } else { 1.0 };
        Weighed {
            log_evidence: self.largest + self.all.ln(),
            hidden,
            hidden_mean,
            best: self.best.1,
            mean,
            deviation: variance.max(0.0).sqrt(),
            misfit: self.best.2,
        }
    }
}

/// Density of a standard normal number.
fn normal(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

#[cfg(test)]
impl SeverityCurve {
    /// Readings that move straight with the score, by `slopes`.
    pub(super) fn straight(slopes: &[f64]) -> Self {
        let at = |z: f64| slopes.iter().map(|slope| slope * z).collect();
        let scores: Vec<f64> = (-12..=12).map(|i| 0.5 * f64::from(i)).collect();
        let moved = scores.iter().map(|z| at(*z)).collect();
        Self { sized: true, scores, moved, unsolved: (f64::NEG_INFINITY, f64::INFINITY) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use nalgebra::{DMatrix, DVector};

    /// Logarithm of the density of `t` where `t = slopes z + noise` and z and the noise are standard normal, over that of no
    /// noise at all: the normal distribution of covariance 1 + slopes slopes' (Bishop 2006, 2.115, from memory).
    fn expected(slopes: &[f64], t: &[f64]) -> f64 {
        let (a, t) = (DVector::from_column_slice(slopes), DVector::from_column_slice(t));
        let covariance = DMatrix::identity(a.len(), a.len()) + &a * a.transpose();
        let inverse = covariance.clone().try_inverse().unwrap();
        -0.5 * (t.dot(&(inverse * &t)) + covariance.determinant().ln())
    }

    #[test]
    fn the_probability_of_readings_that_move_straight_is_that_of_a_normal_distribution() {
        for (slopes, t) in [
            (vec![6.0, -4.0, 0.5], vec![7.0, -3.5, 1.0]),
            (vec![40.0, 25.0], vec![-60.0, -35.0]),
            (vec![3.0, 1.0, 1.0, 2.0], vec![6.0, 2.5, 1.5, 4.5]),
        ] {
            let weighed = SeverityCurve::straight(&slopes).weighed(&t);
            assert_relative_eq!(weighed.log_evidence, expected(&slopes, &t), epsilon = 0.01);
            let information = 1.0 + square(&slopes);
            assert_relative_eq!(weighed.deviation, information.powf(-0.5), max_relative = 0.02);
            let product: f64 = slopes.iter().zip(&t).map(|(a, t)| a * t).sum();
            assert_relative_eq!(weighed.mean, product / information, max_relative = 0.01);
        }
    }

    #[test]
    fn severities_that_do_not_show_are_the_share_of_a_normal_distribution_within_the_threshold() {
        // Within one standard deviation of the mean are 68.27 % (table of the normal distribution).
        let weighed = SeverityCurve::straight(&[SHOWN]).weighed(&[0.0]);
        assert_relative_eq!(weighed.hidden, 0.6827, epsilon = 2e-3);
    }
}
