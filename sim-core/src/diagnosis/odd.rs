//! Readings that are odd: without them the rest is explained.

use super::candidate::Candidate;
use super::fault::Fault;
use super::fit::Bench;
use super::model::Odd;
use super::numbers::{LEAST_CHANCE, chance};
use crate::scenario::ReadingPlace;
use std::mem::discriminant;

/// Most readings named odd one by one.
const MOST: usize = 3;
/// Least number of readings that must be left.
const LEFT: usize = 3;
/// Factors by which readings are mistaken: 14.5 psi in a bar, 3.785 litres in a gallon, a decimal place, half or twice the
/// time of a catch.
const SLIPS: [f64; 4] = [14.503_774, 3.785_412, 10.0, 2.0];
/// How far, in accuracies, a reading may be from what a slip makes of it.
const SLIP_WITHIN: f64 = 4.0;
/// Share within which it is a slip at any accuracy.
const SLIP_SHARE: f64 = 0.06;

/// The explanation that leaves least when some readings are left out.
struct Best {
    objective: f64,
    misfit: f64,
    fault: Option<(Fault, f64)>,
    free: usize,
    /// What is left of every reading, in accuracies.
    left: Vec<f64>,
}

/// The odd readings of `bench`, or all of one kind; `None` where leaving them out explains no more.
pub(super) fn odd(bench: &Bench<'_>, candidates: &[&Candidate]) -> Option<Odd> {
    let count = bench.count();
    let whole_kinds = kinds(bench).into_iter().filter(|kind| kind.len() > 1);
    let slip_of_kind = whole_kinds.filter(|kind| count - kind.len() >= LEFT).find_map(|kind| {
        let [best] = &leave_out(bench, candidates, std::slice::from_ref(&kind))[..] else {
            return None;
        };
        let odd = named(bench, &kind, best);
        (explains(best, count - kind.len()) && odd.slip.is_some()).then_some(odd)
    });
    if slip_of_kind.is_some() {
        return slip_of_kind;
    }
    let mut out: Vec<usize> = Vec::new();
    while out.len() < MOST && count > out.len() + LEFT {
        let more = |i: usize| [out.clone(), vec![i]].concat();
        let sets: Vec<Vec<usize>> = (0..count).filter(|i| !out.contains(i)).map(more).collect();
        let found = leave_out(bench, candidates, &sets);
        let least = |a: &usize, b: &usize| found[*a].objective.total_cmp(&found[*b].objective);
        let at = (0..sets.len()).min_by(least)?;
        out.clone_from(&sets[at]);
        if explains(&found[at], count - out.len()) {
            return Some(named(bench, &out, &found[at]));
        }
    }
    None
}

fn explains(best: &Best, count: usize) -> bool {
    chance(best.misfit, count.saturating_sub(best.free)) >= LEAST_CHANCE
}

/// Readings of the same kind: pressures, catch tests, meters, speeds.
fn kinds(bench: &Bench<'_>) -> Vec<Vec<usize>> {
    let mut kinds: Vec<(ReadingPlace, Vec<usize>)> = Vec::new();
    for (i, residual) in bench.residuals.iter().enumerate() {
        let alike = |other: &ReadingPlace| {
            discriminant(other) == discriminant(&residual.place)
                || (other.is_pressure() && residual.place.is_pressure())
        };
        match kinds.iter_mut().find(|(place, _)| alike(place)) {
            Some((_, readings)) => readings.push(i),
            None => kinds.push((residual.place, vec![i])),
        }
    }
    kinds.into_iter().map(|(_, readings)| readings).collect()
}

/// For each of `sets` of readings, what explains the others best.
fn leave_out(bench: &Bench<'_>, candidates: &[&Candidate], sets: &[Vec<usize>]) -> Vec<Best> {
    let target = bench.target();
    let mut best: Vec<Best> = sets.iter().map(|_| Best::none()).collect();
    let healthy = |best: &mut Vec<Best>| {
        for (best, set) in best.iter_mut().zip(sets) {
            best.offer(None, 0, (0.0, 0.0), &each_by_itself(bench, &target), set);
        }
    };
    healthy(&mut best);
    for candidate in candidates {
        let Some(curve) = &candidate.curve else { continue };
        let (fault, prior) = (candidate.faults[0], -2.0 * candidate.log_prior);
        let free = usize::from(curve.is_sized());
        curve.fine(&target, |score, _, _, left| {
            let left = &each_by_itself(bench, left);
            for (best, set) in best.iter_mut().zip(sets) {
                best.offer(Some((fault, score)), free, (score * score, prior), left, set);
            }
        });
    }
    best
}

/// What is left of readings, each over its own accuracy: one that is left out takes nothing with it.
fn each_by_itself(bench: &Bench<'_>, white: &[f64]) -> Vec<f64> {
    let left = bench.differences(white);
    left.iter().zip(&bench.residuals).map(|(left, r)| left / r.sigma).collect()
}

impl Best {
    fn none() -> Self {
        let infinite = f64::INFINITY;
        Self { objective: infinite, misfit: infinite, fault: None, free: 0, left: Vec::new() }
    }

    /// Takes an explanation that leaves `left`, if that is less without the readings of `set`.
    fn offer(
        &mut self,
        fault: Option<(Fault, f64)>,
        free: usize,
        (scores, prior): (f64, f64),
        left: &[f64],
        set: &[usize],
    ) {
        let all: f64 = left.iter().map(|z| z * z).sum();
        let misfit = all - set.iter().map(|i| left[*i] * left[*i]).sum::<f64>();
        let objective = misfit + scores + prior;
        if objective < self.objective {
            *self = Self { objective, misfit, fault, free, left: left.to_vec() };
        }
    }
}

/// The readings `out` with what the others let expect.
fn named(bench: &Bench<'_>, out: &[usize], best: &Best) -> Odd {
    let expected = |i: &usize| bench.residuals[*i].read - best.left[*i] * bench.residuals[*i].sigma;
    let expected: Vec<f64> = out.iter().map(expected).collect();
    let slips = SLIPS.into_iter().flat_map(|factor| [factor, 1.0 / factor]);
    let fits = |factor: &f64| {
        out.iter().zip(&expected).all(|(i, expected)| {
            let r = &bench.residuals[*i];
            let off = (r.read - factor * expected).abs();
            *expected > 0.0 && off < (SLIP_WITHIN * r.sigma).min(SLIP_SHARE * r.read.abs())
        })
    };
    let slip = slips.into_iter().find(fits);
    let faults = best.fault.map(|(fault, score)| {
        let severity = bench.priors.severity(fault.kind).map_or(1.0, |prior| prior.at(score));
        (fault, severity)
    });
    Odd { readings: out.to_vec(), expected, slip, faults: faults.into_iter().collect() }
}
