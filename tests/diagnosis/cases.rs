//! Cases: a boom, a fault drawn at random, readings with noise.

use crate::booms::{Boom, severities};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use sim_core::diagnosis::{Fault, FaultKind, Spot, catalogue, severity_range};
use sim_core::scenario::{Accuracy, Readings};

/// Movement of some reading from which a fault counts as one: smaller ones nobody looks for.
const MATTERS: f64 = 0.05;

/// One case.
pub(crate) struct Case {
    /// The faults and their severities; none at a healthy machine.
    pub(crate) truth: Vec<(Fault, f64)>,
    /// What would be read without noise.
    pub(crate) exact: Readings,
}

/// Draws cases with faults: kinds by turns, places and severities at random.
pub(crate) fn faulty(boom: &Boom, count: usize, seed: u64) -> Vec<Case> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let healthy = boom.readings(&[]).unwrap();
    let faults = catalogue(&boom.scenario.machine.plumbing, &healthy);
    let kinds: Vec<FaultKind> = FaultKind::ALL
        .into_iter()
        .filter(|kind| *kind != FaultKind::TipUncaught && faults.iter().any(|f| f.kind == *kind))
        .collect();
    let mut cases = Vec::new();
    for turn in 0.. {
        if cases.len() == count {
            break;
        }
        // A kind whose faults never matter on this boom gives its turn to the next.
        let kind = kinds[turn % kinds.len()];
        cases.extend((0..20).find_map(|_| draw(boom, kind, &faults, &healthy, &mut rng)));
        assert!(turn < 100 * count, "no fault matters on {}", boom.name);
    }
    cases
}

fn draw(
    boom: &Boom,
    kind: FaultKind,
    faults: &[Fault],
    healthy: &Readings,
    rng: &mut ChaCha8Rng,
) -> Option<Case> {
    let truth = vec![fault(kind, faults, rng)];
    let exact = boom.readings(&truth)?;
    matters(healthy, &exact).then_some(Case { truth, exact })
}

/// A fault of `kind` at one of its places, of some severity.
fn fault(kind: FaultKind, faults: &[Fault], rng: &mut ChaCha8Rng) -> (Fault, f64) {
    let places: Vec<&Fault> = faults.iter().filter(|fault| fault.kind == kind).collect();
    let fault = *places[rng.random_range(0..places.len())];
    let (least, most) = severities(kind);
    let severity = if severity_range(kind).is_none() {
        1.0
    } else {
        (rng.random_range(0.0..1.0) * (most / least).ln()).exp() * least
    };
    (fault, severity)
}

/// Draws cases with two faults of different kinds at different places, each of which matters alone.
pub(crate) fn with_pairs(boom: &Boom, count: usize, seed: u64) -> Vec<Case> {
    let singles = faulty(boom, 4 * count, seed);
    let pairs = singles.iter().zip(singles.iter().skip(1)).filter_map(|(a, b)| {
        let truth = [a.truth.clone(), b.truth.clone()].concat();
        let differ = truth[0].0.kind != truth[1].0.kind && truth[0].0.spot != truth[1].0.spot;
        let tips = truth.iter().filter(|(f, _)| matches!(f.spot, Spot::Tip(_))).count();
        // One tip at most looks wrong: the technician catches one such tip.
        let exact = boom.readings(&truth).filter(|_| differ && tips < 2)?;
        Some(Case { truth, exact })
    });
    pairs.take(count).collect()
}

/// Whether some reading that was taken at the healthy machine too differs enough.
fn matters(healthy: &Readings, exact: &Readings) -> bool {
    healthy.states.iter().zip(&exact.states).any(|(healthy, exact)| {
        healthy.readings.iter().any(|before| {
            let after = exact.readings.iter().find(|reading| reading.place == before.place);
            after.is_some_and(|after| (after.value / before.value - 1.0).abs() > MATTERS)
        })
    })
}

/// A healthy machine.
pub(crate) fn healthy(boom: &Boom) -> Case {
    Case { truth: Vec::new(), exact: boom.readings(&[]).unwrap() }
}

/// The readings of `case` with `noise`, as a share of each, stated as their accuracy.
pub(crate) fn noisy(case: &Case, noise: f64, rng: &mut ChaCha8Rng) -> Readings {
    let mut readings = case.exact.clone();
    for reading in readings.states.iter_mut().flat_map(|state| &mut state.readings) {
        reading.value *= 1.0 + noise * normal(rng);
        reading.accuracy = Accuracy::Share(noise);
    }
    readings
}

/// A standard normal number.
pub(crate) fn normal(rng: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(rng)
}
