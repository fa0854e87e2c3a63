//! Cases: a boom, something wrong drawn at random, readings with noise.

use crate::booms::{Boom, accuracy, severities};
use crate::workshop::Real;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use sim_core::diagnosis::{Fault, FaultKind, KIND_PRIORS, Spot, catalogue};
use sim_core::plumbing::{BranchId, Part, Plumbing, Side, TipId};
use sim_core::scenario::{Accuracy, ReadingPlace, Readings};

/// Movement of some reading from which a fault is clear: smaller ones nobody looks for.
const CLEAR: f64 = 0.05;
/// How far readings must be moved together, in their accuracy, to show anything: odds of 90 to 1, half the square of it being
/// their logarithm.
pub(crate) const SHOWS: f64 = 3.0;
/// The same for each fault of a pair, and for what is in no catalogue.
const SHOWS_WELL: f64 = 5.0;

/// One case.
#[derive(Clone)]
pub(crate) struct Case {
    /// The faults and their severities; none at a healthy machine, and none that the catalogue holds in `outside` cases.
    pub(crate) truth: Vec<(Fault, f64)>,
    /// What is wrong that no catalogue holds.
    pub(crate) outside: Option<&'static str>,
    /// The machine.
    pub(crate) real: Real,
    /// What would be read without noise.
    pub(crate) exact: Readings,
    /// Whether some reading moves by [`CLEAR`] or more.
    pub(crate) clear: bool,
    /// Whether the readings show it at all.
    pub(crate) shows: bool,
}

/// The machine of `boom` as it differs from its scenario without being faulty, by about the accuracy of the model: walls, fittings,
/// parts, tips and pump each a little.
pub(crate) fn as_built(boom: &Boom, rng: &mut ChaCha8Rng) -> Real {
    let mut real = Real::healthy(&boom.scenario);
    let mut varied = |spread: f64| (spread * normal(rng)).exp();
    let (roughness, parts, head) = (varied(0.25), varied(0.05), varied(0.005));
    let losses: Vec<f64> = (0..6).map(|_| varied(0.08)).collect();
    let plumbing = &mut real.scenario.machine.plumbing;
    for branch in &mut plumbing.branches {
        let side = branch.side as usize;
        match &mut branch.part {
            Part::Line(line) => {
                line.losses *= losses[side];
                line.roughness_m = (line.roughness_m * roughness).min(0.04 * line.bore_m);
            }
            Part::Valve(valve) => valve.kv_si *= parts,
            Part::Strainer(part) | Part::Meter(part) => part.kv_si *= parts,
            Part::Pump(pump) => pump.curve.head_m.iter_mut().for_each(|h| *h *= head),
            _ => {}
        }
    }
    plumbing.tips.iter_mut().for_each(|tip| tip.rated_flow_m3_s *= varied(0.01));
    real
}

/// Draws cases with faults: kinds by turns, places and severities at random, whether or not they show in the readings.
pub(crate) fn faulty(boom: &Boom, count: usize, seed: u64) -> Vec<Case> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let faults = everything(boom);
    let kinds: Vec<FaultKind> = KIND_PRIORS
        .iter()
        .map(|prior| prior.kind)
        .filter(|kind| faults.iter().any(|fault| fault.kind == *kind))
        .collect();
    let mut cases = Vec::new();
    for turn in 0.. {
        if cases.len() == count {
            break;
        }
        // A kind of which the machine never runs gives its turn to the next.
        let kind = kinds[turn % kinds.len()];
        cases.extend((0..20).find_map(|_| {
            let truth = vec![fault(kind, &faults, &mut rng)];
            case(boom, truth, None, &mut rng)
        }));
        assert!(turn < 100 * count, "nothing runs on {}", boom.name);
    }
    cases
}

/// Every fault the machine could have, at every tip and every stretch of tube.
fn everything(boom: &Boom) -> Vec<Fault> {
    let healthy = boom.readings(&Real::healthy(&boom.scenario), None).unwrap();
    let plumbing = &boom.scenario.machine.plumbing;
    let kept =
        |fault: &Fault| !matches!(fault.kind, FaultKind::TipUncaught | FaultKind::TubeBlocked);
    let mut all: Vec<Fault> = catalogue(plumbing, &healthy).into_iter().filter(kept).collect();
    let tubes = plumbing.branches.iter().enumerate().filter(|(_, b)| b.side == Side::Boom);
    all.extend(
        tubes.map(|(i, _)| Fault {
            kind: FaultKind::TubeBlocked,
            spot: Spot::Branch(BranchId::at(i)),
        }),
    );
    all.extend(
        (0..plumbing.tips.len())
            .map(|i| Fault { kind: FaultKind::TipUncaught, spot: Spot::Tip(TipId::at(i)) }),
    );
    all
}

/// A fault of `kind` at one of its places, of some severity.
fn fault(kind: FaultKind, faults: &[Fault], rng: &mut ChaCha8Rng) -> (Fault, f64) {
    let places: Vec<&Fault> = faults.iter().filter(|fault| fault.kind == kind).collect();
    let fault = *places[rng.random_range(0..places.len())];
    let (least, most) = severities(kind);
    (fault, (rng.random_range(0.0..1.0) * (most / least).ln()).exp() * least)
}

/// The case of `truth`, if the machine runs. A tip that is wrong looks wrong, and is caught, if it was drawn as such.
fn case(
    boom: &Boom,
    mut truth: Vec<(Fault, f64)>,
    outside: Option<&'static str>,
    rng: &mut ChaCha8Rng,
) -> Option<Case> {
    let looks_wrong = truth.iter().find_map(|(fault, _)| match (fault.kind, fault.spot) {
        (FaultKind::TipUncaught, _) => None,
        (_, Spot::Tip(tip)) => Some(tip),
        _ => None,
    });
    for (fault, _) in &mut truth {
        if fault.kind == FaultKind::TipUncaught {
            fault.kind = FaultKind::TipWrong;
        }
    }
    let built = as_built(boom, rng);
    let real = built.clone().with(&truth);
    let exact = boom.readings(&real, looks_wrong)?;
    let before = built.read(&exact)?;
    let clear = moved(&before, &exact).any(|share| share.abs() > CLEAR);
    let shows = distance(&before, &exact) >= SHOWS;
    Some(Case { truth, outside, real, exact, clear: clear && shows, shows })
}

/// By which share each reading of `after` differs from that of `before`.
fn moved<'r>(before: &'r Readings, after: &'r Readings) -> impl Iterator<Item = f64> + 'r {
    let all = |readings: &'r Readings| readings.states.iter().flat_map(|state| &state.readings);
    all(before).zip(all(after)).map(|(before, after)| {
        let least = if before.place.is_pressure() { 5e4 } else { 1e-6 };
        (after.value - before.value) / before.value.abs().max(least)
    })
}

/// How far two sets of the same readings are apart, in accuracies.
pub(crate) fn distance(a: &Readings, b: &Readings) -> f64 {
    let all = |readings: &Readings| -> Vec<(ReadingPlace, f64)> {
        readings.states.iter().flat_map(|s| &s.readings).map(|r| (r.place, r.value)).collect()
    };
    let pairs = all(a).into_iter().zip(all(b));
    let square = |((place, a), (_, b)): ((ReadingPlace, f64), (ReadingPlace, f64))| {
        let least = if place.is_pressure() { 1000.0 } else { 2e-7 };
        let sigma = accuracy(place).hypot(0.01) * b.abs() + least;
        ((a - b) / sigma).powi(2)
    };
    pairs.map(square).sum::<f64>().sqrt()
}

/// Draws cases with two faults of different kinds at different places, each of which shows well beside the other.
pub(crate) fn with_pairs(boom: &Boom, count: usize, seed: u64) -> Vec<Case> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let singles = faulty(boom, 6 * count, seed);
    let mut cases = Vec::new();
    for (a, b) in singles.iter().zip(singles.iter().skip(1)) {
        let truth = [a.truth.clone(), b.truth.clone()].concat();
        let differ = truth[0].0.kind != truth[1].0.kind && truth[0].0.spot != truth[1].0.spot;
        let tips = truth.iter().filter(|(f, _)| matches!(f.spot, Spot::Tip(_))).count();
        // One tip at most looks wrong: the technician catches one such tip.
        if !differ || tips > 1 || cases.len() == count {
            continue;
        }
        let Some(found) = case(boom, truth, None, &mut rng) else { continue };
        if (0..2).all(|kept| shows_beside(boom, &found, kept)) {
            cases.push(found);
        }
    }
    cases
}

/// Whether the fault other than number `kept` of a pair shows well beside that one.
fn shows_beside(boom: &Boom, pair: &Case, kept: usize) -> bool {
    let alone = Real::healthy(&boom.scenario).with(&pair.truth[kept..=kept]).read(&pair.exact);
    let both = Real::healthy(&boom.scenario).with(&pair.truth).read(&pair.exact);
    alone.zip(both).is_some_and(|(alone, both)| distance(&alone, &both) >= SHOWS_WELL)
}

/// A healthy machine.
pub(crate) fn healthy(boom: &Boom, seed: u64) -> Case {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let real = as_built(boom, &mut rng);
    let exact = boom.readings(&real, None).unwrap();
    Case { truth: Vec::new(), outside: None, real, exact, clear: false, shows: false }
}

/// What no catalogue holds, by turns.
const OUTSIDE: [&str; 7] = [
    "three faults at once",
    "a gauge read in psi, written as bar",
    "a meter or gauge a decimal place off",
    "tips of two sizes mixed up",
    "hoses of three sections too narrow",
    "boom on a slope of 8 degrees",
    "needles that swing: gauges off by 10 %, each its own way",
];

/// Draws cases of what no catalogue holds and what shows well.
pub(crate) fn outside(boom: &Boom, count: usize, seed: u64) -> Vec<Case> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let faults = everything(boom);
    let mut cases = Vec::new();
    for turn in 0..20 * count {
        if cases.len() == count {
            break;
        }
        let what = OUTSIDE[turn % OUTSIDE.len()];
        cases.extend(outside_case(boom, what, &faults, &mut rng));
    }
    cases
}

fn outside_case(
    boom: &Boom,
    what: &'static str,
    faults: &[Fault],
    rng: &mut ChaCha8Rng,
) -> Option<Case> {
    let built = as_built(boom, rng);
    let mut real = built.clone();
    let plumbing = &mut real.scenario.machine.plumbing;
    match what {
        "three faults at once" => real = three_faults(boom, &built, faults, rng)?,
        "tips of two sizes mixed up" => {
            let smaller = plumbing.tips.iter_mut().filter(|_| rng.random_range(0..2) == 1);
            smaller.for_each(|tip| tip.rated_flow_m3_s *= 0.75);
        }
        "hoses of three sections too narrow" => narrow_hoses(plumbing, rng),
        "boom on a slope of 8 degrees" => {
            let slope = 8f64.to_radians().tan();
            plumbing.nodes.iter_mut().for_each(|n| n.elevation_m += slope * n.x_m.unwrap_or(0.0));
        }
        _ => {}
    }
    let mut exact = boom.readings(&real, None)?;
    let before = built.read(&exact)?;
    spoil(what, &mut exact, rng);
    let shows = distance(&before, &exact) >= SHOWS_WELL;
    let case = Case { truth: Vec::new(), outside: Some(what), real, exact, clear: true, shows };
    shows.then_some(case)
}

/// Three faults of different kinds, each of which shows well by itself.
fn three_faults(boom: &Boom, built: &Real, faults: &[Fault], rng: &mut ChaCha8Rng) -> Option<Real> {
    let asked = boom.readings(built, None)?;
    let mut truth: Vec<(Fault, f64)> = Vec::new();
    for _ in 0..60 {
        let kind = faults[rng.random_range(0..faults.len())].kind;
        let one = fault(kind, faults, rng);
        let new = truth.iter().all(|(other, _)| other.kind != kind && other.spot != one.0.spot);
        let alone = built.clone().with(&[one]).read(&asked);
        let shows = alone.is_some_and(|alone| distance(&asked, &alone) >= SHOWS_WELL);
        if new && shows {
            truth.push(one);
        }
        if truth.len() == 3 {
            return Some(built.clone().with(&truth));
        }
    }
    None
}

fn narrow_hoses(plumbing: &mut Plumbing, rng: &mut ChaCha8Rng) {
    let hoses = plumbing.branches.iter_mut();
    let hoses = hoses.filter(|b| b.side == Side::Feed && b.section.is_some());
    for branch in hoses.step_by(2).take(3) {
        if let Part::Line(line) = &mut branch.part {
            line.bore_m *= rng.random_range(0.45..0.65);
        }
    }
}

/// Spoils readings as `what` says.
fn spoil(what: &str, readings: &mut Readings, rng: &mut ChaCha8Rng) {
    let all = readings.states.iter_mut().flat_map(|state| &mut state.readings);
    let (mut gauges, mut meters) = (Vec::new(), Vec::new());
    for reading in all {
        match reading.place {
            place if place.is_pressure() => gauges.push(reading),
            ReadingPlace::Meter(_) => meters.push(reading),
            _ => {}
        }
    }
    let up = rng.random_range(0..2) == 1;
    match what {
        "a gauge read in psi, written as bar" => {
            let at = rng.random_range(0..gauges.len());
            gauges[at].value *= 14.503_774;
        }
        "a meter or gauge a decimal place off" => {
            let reading = match meters.first_mut() {
                Some(meter) => meter,
                None => &mut gauges[0],
            };
            reading.value *= if up { 10.0 } else { 0.1 };
        }
        "needles that swing: gauges off by 10 %, each its own way" => {
            gauges.iter_mut().for_each(|gauge| gauge.value *= 1.0 + 0.1 * normal(rng));
        }
        _ => {}
    }
}

/// The readings of `case` with noise as the template states it, `share` times.
pub(crate) fn noisy(case: &Case, share: f64, rng: &mut ChaCha8Rng) -> Readings {
    let mut readings = case.exact.clone();
    for reading in readings.states.iter_mut().flat_map(|state| &mut state.readings) {
        let stated = accuracy(reading.place);
        reading.value *= 1.0 + share * stated * normal(rng);
        reading.accuracy = Accuracy::Share(stated);
    }
    readings.model_accuracy = 0.01;
    readings
}

/// A standard normal number.
pub(crate) fn normal(rng: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(rng)
}
