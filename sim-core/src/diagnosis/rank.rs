//! Ranks explanations by how well they explain the readings for their freedom.

use super::candidate::Candidate;
use super::catalogue::catalogue;
use super::fault::{Fault, FaultKind};
use super::fit::{Bench, Fit, severities};
use super::model::{Diagnosis, DiagnosisError, Explanation, Fitted};
use super::pairs;
use super::severity::severity_range;
use crate::scenario::{Readings, Scenario};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Probability, before anything is read, that one fault is there, and two; the rest is no fault.
const ONE_FAULT: f64 = 0.45;
const TWO_FAULTS: f64 = 0.05;
/// Explanations kept, beside those that cannot be told from the leading ones.
const KEPT: usize = 40;
/// Distance, in the readings' accuracy, below which two explanations count as one: readings like these would on
/// average favour the true one by odds of less than 3 to 1, too little to act on. The threshold of 3 is the lowest of
/// Kass & Raftery (1995), from memory. The mean log-odds are half the square of the distance.
pub(super) const APART: f64 = 1.482;
/// Movement of the readings below which a fault counts as unseen, in their accuracy.
const UNSEEN: f64 = 0.5;
/// Chance of a misfit below which the model does not fit.
const LEAST_CHANCE: f64 = 1e-3;

/// Holds the machine of `scenario`, healthy and with every fault of the [`catalogue`] singly and in plausible
/// pairs, against `readings`.
///
/// The score of an explanation is its misfit (sum of squared residuals over accuracy) plus, for each severity fitted,
/// the logarithm of the number of readings, minus twice the logarithm of its prior probability. Priors share one
/// fault equally among the kinds and then among the places of a kind. Probabilities go with `exp(-score / 2)`.
///
/// # Errors
/// A [`DiagnosisError`] where the healthy machine has no solution.
pub fn diagnose(scenario: &Scenario, readings: &Readings) -> Result<Diagnosis, DiagnosisError> {
    let bench = Bench::new(scenario, readings)?;
    let count = bench.residuals.len();
    let faults = catalogue(&scenario.machine.plumbing, readings);
    let places = places(&faults);
    let mut singles: Vec<Candidate> = faults
        .par_iter()
        .filter_map(|fault| single(&bench, *fault, ONE_FAULT * share(fault.kind, &places)))
        .collect();
    let unseen = singles.iter().filter(|c| !c.seen).map(|c| c.faults[0]).collect();
    let healthy = Candidate {
        faults: Vec::new(),
        fit: {
            let predicted: Vec<f64> = bench.residuals.iter().map(|r| r.modelled).collect();
            Fit { log_severities: Vec::new(), misfit: bench.misfit(&predicted), predicted }
        },
        prior: 1.0 - ONE_FAULT - TWO_FAULTS,
        seen: true,
    };
    let pairs = pairs::candidates(&bench, &singles, &healthy, &|a, b| {
        TWO_FAULTS * 2.0 * share(a.kind, &places) * share(b.kind, &places)
    });
    singles.push(healthy);
    singles.extend(pairs);
    let considered = singles.len();
    let explanations = ranked(&bench, singles);
    let best = &explanations[0];
    let free = best.faults.iter().filter(|f| severity_range(f.fault.kind).is_some()).count();
    let chance_of_misfit = chance(best.misfit, count.saturating_sub(free));
    Ok(Diagnosis {
        count,
        fits: chance_of_misfit >= LEAST_CHANCE,
        chance_of_misfit,
        healthy_readings: bench.residuals.clone(),
        healthy: bench.healthy,
        explanations,
        considered,
        unseen,
    })
}

fn places(faults: &[Fault]) -> BTreeMap<FaultKind, usize> {
    let mut places = BTreeMap::new();
    faults.iter().for_each(|fault| *places.entry(fault.kind).or_insert(0) += 1);
    places
}

/// Share of one fault's prior that falls on one place of `kind`.
fn share(kind: FaultKind, places: &BTreeMap<FaultKind, usize>) -> f64 {
    1.0 / (places.len() * places.get(&kind).copied().unwrap_or(1)) as f64
}

fn single(bench: &Bench<'_>, fault: Fault, prior: f64) -> Option<Candidate> {
    let (start, moved) = bench.screen(fault)?;
    let seen = moved > UNSEEN;
    let fit = if seen { bench.fit(&[fault], &start) } else { start };
    Some(Candidate { faults: vec![fault], fit, prior, seen })
}

/// The candidates as explanations, the most probable first.
fn ranked(bench: &Bench<'_>, mut candidates: Vec<Candidate>) -> Vec<Explanation> {
    let count = bench.residuals.len();
    // The sort is stable and the order before it fixed: equal scores keep the order of the catalogue.
    candidates.sort_by(|a, b| a.score(count).total_cmp(&b.score(count)));
    let best = candidates.first().map_or(0.0, |c| c.score(count));
    let weight = |c: &Candidate| (-0.5 * (c.score(count) - best)).exp();
    let all: f64 = candidates.iter().map(weight).sum();
    let groups = groups(bench, &candidates);
    let kept = candidates.into_iter().zip(groups).enumerate();
    let kept: Vec<(Candidate, usize)> = kept
        .filter(|(i, (c, group))| *i < KEPT || *group <= 2 || c.faults.is_empty())
        .map(|(_, pair)| pair)
        .collect();
    let explanation = |(candidate, group): &(Candidate, usize)| {
        let machine = bench.machine(&candidate.faults, &candidate.fit.log_severities);
        Explanation {
            faults: fitted(bench, candidate),
            misfit: candidate.fit.misfit,
            score: candidate.score(count),
            probability: weight(candidate) / all,
            group: *group,
            predicted: candidate.fit.predicted.clone(),
            instants: bench.run(&machine).unwrap_or_else(|| bench.healthy.clone()),
        }
    };
    kept.par_iter().map(explanation).collect()
}

/// The group of each candidate: the best one not yet in a group leads the next, and takes with it all that these
/// readings cannot tell from it. Nothing joins the healthy machine, nor does it join a fault.
fn groups(bench: &Bench<'_>, candidates: &[Candidate]) -> Vec<usize> {
    let mut groups = vec![usize::MAX; candidates.len()];
    let mut next = 0;
    for lead in 0..candidates.len() {
        if groups[lead] != usize::MAX {
            continue;
        }
        groups[lead] = next;
        next += 1;
        if candidates[lead].faults.is_empty() {
            continue;
        }
        for other in lead + 1..candidates.len() {
            let (a, b) = (&candidates[lead], &candidates[other]);
            if groups[other] == usize::MAX
                && !b.faults.is_empty()
                && bench.distance(&a.fit.predicted, &b.fit.predicted) < APART
            {
                groups[other] = groups[lead];
            }
        }
    }
    groups
}

fn fitted(bench: &Bench<'_>, candidate: &Candidate) -> Vec<Fitted> {
    let sized = severities(&candidate.faults, &candidate.fit.log_severities);
    let spread = spread(bench, candidate);
    let mut spread = spread.into_iter();
    let one = |(fault, severity): (Fault, f64)| {
        let free = severity_range(fault.kind).is_some();
        let severity_factor = if free { spread.next().unwrap_or(f64::INFINITY) } else { 1.0 };
        Fitted { fault, severity, severity_factor }
    };
    sized.into_iter().map(one).collect()
}

/// Factors by which fitted severities may be off: from the curvature of the misfit at the best fit.
fn spread(bench: &Bench<'_>, candidate: &Candidate) -> Vec<f64> {
    let Some(slopes) = bench.slopes(&candidate.faults, &candidate.fit) else { return Vec::new() };
    let information = slopes.tr_mul(&slopes);
    let Some(inverse) = information.try_inverse() else { return Vec::new() };
    (0..inverse.nrows()).map(|i| inverse[(i, i)].max(0.0).sqrt().exp()).collect()
}

/// Probability that chi-squared with `freedom` degrees exceeds `misfit` (Wilson & Hilferty 1931, from memory).
pub(super) fn chance(misfit: f64, freedom: usize) -> f64 {
    if freedom == 0 {
        return 1.0;
    }
    let n = freedom as f64;
    let third = 2.0 / (9.0 * n);
    let z = ((misfit / n).cbrt() - (1.0 - third)) / third.sqrt();
    0.5 * libm::erfc(z / std::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::chance;
    use approx::assert_relative_eq;

    #[test]
    fn chance_of_a_misfit_is_that_of_the_tables_of_chi_squared() {
        // Upper 5 % and 1 % points (Abramowitz & Stegun, table 26.8; from memory).
        for (freedom, misfit, expected) in
            [(5, 11.070, 0.05), (10, 18.307, 0.05), (10, 23.209, 0.01), (15, 30.578, 0.01)]
        {
            assert_relative_eq!(chance(misfit, freedom), expected, max_relative = 0.03);
        }
    }
}
