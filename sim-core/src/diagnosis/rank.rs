//! Ranks explanations by how probable they make the readings.

use super::candidate::Candidate;
use super::catalogue::catalogue;
use super::curve::SeverityCurve;
use super::extended::extended;
use super::fault::{Fault, FaultKind};
use super::fit::{Bench, Fit};
use super::groups::{Grouped, grouped};
use super::model::{Conclusion, Diagnosis, DiagnosisError, Explanation, Fitted, HiddenFault};
use super::numbers::{LEAST_CHANCE, chance, sum_of_exponentials};
use super::{odd, pairs, something_else};
use crate::scenario::{Readings, Scenario};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Explanations kept, beside those of the first groups.
const KEPT: usize = 40;
/// Groups of which every explanation is kept.
const KEPT_GROUPS: usize = 3;
/// Probability from which a group of explanations is the answer.
pub const SURE: f64 = 0.8;
/// Share of its severities, beforehand, that may show for a fault to count as one that no reading would show.
const UNSEEN: f64 = 0.05;
/// Uncertainty of a score from which the readings do not bound a severity.
const UNBOUNDED: f64 = 0.9;

/// Holds the machine of `scenario`, healthy and with every fault of the [`catalogue`] singly and in pairs, against `readings`.
///
/// The weight of an explanation is its probability beforehand times that of the readings, given it, over all its severities
/// as they are known beforehand ([`super::Priors`]); of faults too small for the readings to show, the healthy machine stands
/// in. Something that is not in the catalogue competes as readings that are further off than their accuracy.
///
/// # Errors
/// A [`DiagnosisError`] where the healthy machine has no solution.
pub fn diagnose(scenario: &Scenario, readings: &Readings) -> Result<Diagnosis, DiagnosisError> {
    let plumbing = extended(&scenario.machine.plumbing);
    let bench = Bench::new(scenario, &plumbing, readings)?;
    let faults = catalogue(&scenario.machine.plumbing, readings);
    let share = Shares::of(&bench, &faults);
    let mut candidates = singles(&bench, &faults, &share);
    let hidden = |c: &Candidate| c.hidden * c.log_prior.exp();
    let hidden: f64 = candidates.iter().map(hidden).sum();
    let showing = |c: &&Candidate| c.is_seen() && c.hidden < 1.0 - UNSEEN;
    let unseen = candidates.iter().filter(|c| !showing(c)).map(|c| c.faults[0]).collect();
    candidates.push(healthy(&bench, bench.priors.no_fault + hidden));
    let best = candidates.iter().map(Candidate::log_weight).fold(f64::NEG_INFINITY, f64::max);
    let two = bench.priors.two_faults;
    candidates.extend(pairs::candidates(&bench, &candidates, best, &|a, b| {
        (two * 2.0 * share.of_place(a.kind) * share.of_place(b.kind)).ln()
    }));
    let log_else =
        bench.priors.something_else.ln() + something_else::log_evidence(&bench, &candidates);
    Ok(answer(&bench, candidates, log_else, unseen))
}

/// The diagnosis that `candidates` make, something else having the logarithm of weight `log_else`.
fn answer(
    bench: &Bench<'_>,
    candidates: Vec<Candidate>,
    log_else: f64,
    unseen: Vec<Fault>,
) -> Diagnosis {
    let weights = candidates.iter().map(Candidate::log_weight).chain([log_else]);
    let all = sum_of_exponentials(weights);
    let something_else = (log_else - all).exp();
    let considered = candidates.len();
    let hidden = hidden(bench, &candidates, all);
    let odd = |grouped: &Grouped| {
        let singles: Vec<&Candidate> = grouped.candidates.iter().map(|(c, _)| c).collect();
        odd::odd(bench, &singles)
    };
    let grouped = grouped(bench, candidates, |c| (c.log_weight() - all).exp());
    let explanations = explanations(bench, &grouped, all);
    let best = &explanations[0];
    let free =
        bench.severity_priors(&best.faults.iter().map(|f| f.fault).collect::<Vec<_>>()).len();
    let chance_of_misfit = chance(best.misfit, bench.count().saturating_sub(free));
    let fits = chance_of_misfit >= LEAST_CHANCE;
    let conclusion = match grouped.weights[0] {
        lead if !fits || something_else > lead => Conclusion::Unexplained,
        lead if lead < SURE => Conclusion::Undecided,
        _ if best.is_healthy() => Conclusion::NoFault,
        _ => Conclusion::Fault,
    };
    Diagnosis {
        count: bench.count(),
        fits,
        chance_of_misfit,
        healthy_readings: bench.residuals.clone(),
        healthy: bench.healthy.clone(),
        odd: if conclusion == Conclusion::Unexplained { odd(&grouped) } else { None },
        explanations,
        groups: grouped.weights,
        something_else,
        conclusion,
        considered,
        unseen,
        hidden,
    }
}

/// The single faults of `candidates` in severities that do not show, the most probable first; the logarithm of the sum of all
/// weights is `all`.
fn hidden(bench: &Bench<'_>, candidates: &[Candidate], all: f64) -> Vec<HiddenFault> {
    let none = candidates.iter().find(|c| c.faults.is_empty());
    let evidence = none.map_or(f64::NEG_INFINITY, |none| none.log_evidence);
    let one = |candidate: &Candidate| {
        let fault = *candidate.faults.first()?;
        let severity = bench.priors.severity(fault.kind).map(|p| p.at(candidate.hidden_mean));
        let factor = bench.priors.severity(fault.kind).map_or(1.0, |_| f64::INFINITY);
        let fitted = Fitted { fault, severity: severity.unwrap_or(1.0), severity_factor: factor };
        let probability = candidate.hidden * (candidate.log_prior + evidence - all).exp();
        (candidate.hidden > 0.0).then_some(HiddenFault { fitted, probability })
    };
    let mut hidden: Vec<HiddenFault> = candidates.iter().filter_map(one).collect();
    hidden.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    hidden
}

/// How the prior of one fault is shared among kinds and, of a kind equally, among its places.
struct Shares {
    kinds: BTreeMap<FaultKind, f64>,
}

impl Shares {
    fn of(bench: &Bench<'_>, faults: &[Fault]) -> Self {
        let mut places: BTreeMap<FaultKind, usize> = BTreeMap::new();
        faults.iter().for_each(|fault| *places.entry(fault.kind).or_insert(0) += 1);
        let all: f64 = places.keys().map(|kind| bench.priors.of(*kind).weight).sum();
        let share = |(kind, places): (&FaultKind, &usize)| {
            (*kind, bench.priors.of(*kind).weight / all.max(f64::MIN_POSITIVE) / *places as f64)
        };
        Self { kinds: places.iter().map(share).collect() }
    }

    /// Share of one fault's prior that falls on one place of `kind`.
    fn of_place(&self, kind: FaultKind) -> f64 {
        self.kinds.get(&kind).copied().unwrap_or(0.0)
    }
}

fn singles(bench: &Bench<'_>, faults: &[Fault], share: &Shares) -> Vec<Candidate> {
    let one = bench.priors.one_fault();
    let target = bench.target();
    let curves: Vec<(Fault, Option<SeverityCurve>)> =
        faults.par_iter().map(|fault| (*fault, SeverityCurve::of(bench, *fault))).collect();
    let misfit = |(_, curve): &(Fault, Option<SeverityCurve>)| {
        curve.as_ref().map_or(f64::INFINITY, |curve| curve.weighed(&target).misfit)
    };
    let misfits: Vec<f64> = curves.par_iter().map(misfit).collect();
    let none = target.iter().map(|z| z * z).sum();
    let least = misfits.into_iter().fold(none, f64::min);
    let candidate = |(fault, curve): (Fault, Option<SeverityCurve>)| {
        let mut curve = curve?;
        let weighed = curve.refined(bench, fault, &target, least);
        let scores = if curve.is_sized() { vec![weighed.best] } else { vec![] };
        let moved = bench.differences(&curve.at(weighed.best));
        let rows = bench.residuals.iter().zip(&moved);
        let predicted = rows.map(|(r, moved)| r.modelled + moved).collect();
        Some(Candidate {
            faults: vec![fault],
            deviations: vec![weighed.deviation; scores.len()],
            fit: Fit { scores, misfit: weighed.misfit, predicted },
            log_prior: (one * share.of_place(fault.kind)).ln(),
            log_evidence: weighed.log_evidence,
            hidden: weighed.hidden,
            hidden_mean: weighed.hidden_mean,
            curve: Some(curve),
        })
    };
    curves.into_par_iter().filter_map(candidate).collect()
}

fn healthy(bench: &Bench<'_>, prior: f64) -> Candidate {
    let predicted: Vec<f64> = bench.residuals.iter().map(|r| r.modelled).collect();
    let misfit = bench.misfit(&predicted);
    Candidate {
        faults: Vec::new(),
        fit: Fit { scores: Vec::new(), misfit, predicted },
        log_prior: prior.ln(),
        log_evidence: -0.5 * misfit,
        deviations: Vec::new(),
        hidden: 0.0,
        hidden_mean: 0.0,
        curve: None,
    }
}

/// The candidates as explanations, group after group; the logarithm of the sum of all weights is `all`.
fn explanations(bench: &Bench<'_>, grouped: &Grouped, all: f64) -> Vec<Explanation> {
    let seen = grouped.candidates.iter().filter(|(c, _)| c.is_seen()).enumerate();
    let kept: Vec<&(Candidate, usize)> = seen
        .filter(|(i, (c, group))| *i < KEPT || *group < KEPT_GROUPS || c.faults.is_empty())
        .map(|(_, pair)| pair)
        .collect();
    let explanation = |(candidate, group): &&(Candidate, usize)| {
        let machine = bench.machine(&candidate.faults, &candidate.fit.scores);
        let instants = bench.run(&machine, &candidate.faults);
        let predicted = match &instants {
            Some(instants) => bench.predict(&machine, instants),
            None => candidate.fit.predicted.clone(),
        };
        Explanation {
            faults: fitted(bench, candidate),
            misfit: bench.misfit(&predicted),
            score: -2.0 * candidate.log_weight(),
            probability: (candidate.log_weight() - all).exp(),
            group: *group,
            predicted,
            instants: instants.unwrap_or_else(|| bench.healthy.clone()),
        }
    };
    kept.par_iter().map(explanation).collect()
}

fn fitted(bench: &Bench<'_>, candidate: &Candidate) -> Vec<Fitted> {
    let sized = bench.severities(&candidate.faults, &candidate.fit.scores);
    let mut deviations = candidate.deviations.iter();
    let one = |(fault, severity): (Fault, f64)| {
        let factor = bench.priors.severity(fault.kind).and_then(|prior| {
            let deviation = deviations.next()?;
            let bounded = *deviation < UNBOUNDED;
            Some(if bounded { (deviation * prior.factor.ln()).exp() } else { f64::INFINITY })
        });
        Fitted { fault, severity, severity_factor: factor.unwrap_or(1.0) }
    };
    sized.into_iter().map(one).collect()
}
