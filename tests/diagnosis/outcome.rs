//! What comes of a case: what the answer is, how sure it is, and whether it is right, at once and after further readings.

use crate::booms::{Boom, accuracy};
use crate::cases::{Case, SHOWS, distance, noisy, normal};
use crate::workshop::Real;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use sim_core::diagnosis::{Diagnosis, FaultKind, diagnose, next, stands_for};
use sim_core::scenario::{Accuracy, Readings};

/// What came of a case.
#[derive(Clone, Debug)]
pub(crate) struct Outcome {
    /// The true kinds; empty for a healthy machine.
    pub(crate) truth: Vec<FaultKind>,
    pub(crate) outside: Option<&'static str>,
    pub(crate) clear: bool,
    pub(crate) shows: bool,
    /// The kinds that lead.
    pub(crate) leads: Vec<FaultKind>,
    /// Probability of every group and whether the truth is in it, the leading one first.
    pub(crate) groups: Vec<(f64, bool)>,
    pub(crate) something_else: f64,
    /// The group that the truth is in, 0 the leading one; after none, one, two, ... further readings.
    pub(crate) places: Vec<Option<usize>>,
    /// How many explanations the leading group holds at first.
    pub(crate) tied: usize,
}

impl Outcome {
    /// Whether the truth is in the leading group after `further` readings.
    pub(crate) fn first(&self, further: usize) -> bool {
        self.places.get(further).or(self.places.last()) == Some(&Some(0))
    }

    /// Whether it is in one of the first three groups.
    pub(crate) fn among_three(&self) -> bool {
        self.places[0].is_some_and(|group| group < 3)
    }

    /// How sure the answer is, and whether it is right.
    pub(crate) fn said(&self) -> (f64, bool) {
        let lead = self.groups[0];
        if self.something_else > lead.0 {
            (self.something_else, self.outside.is_some())
        } else {
            lead
        }
    }
}

/// The sets of faults that are right answers to `case` by `readings`: the truth, and what is left of it without a fault that
/// the readings do not show.
fn right_answers(boom: &Boom, case: &Case, readings: &Readings) -> Vec<Vec<(FaultKind, String)>> {
    if case.outside.is_some() {
        return Vec::new();
    }
    let plumbing = &boom.scenario.machine.plumbing;
    let read = |kept: &[usize]| {
        let faults: Vec<_> = kept.iter().map(|i| case.truth[*i]).collect();
        Real::healthy(&boom.scenario).with(&faults).read(readings)
    };
    let all: Vec<usize> = (0..case.truth.len()).collect();
    let whole = read(&all);
    let subsets = (0..1usize << all.len())
        .map(|mask| all.iter().copied().filter(|i| mask >> i & 1 == 1).collect::<Vec<usize>>());
    let right = |kept: &Vec<usize>| {
        let rest = || read(kept).zip(whole.as_ref()).map(|(rest, whole)| distance(&rest, whole));
        kept.len() == all.len() || rest().is_some_and(|apart| apart < SHOWS)
    };
    let name = |i: &usize| {
        let fault = stands_for(case.truth[*i].0, plumbing, readings);
        (fault.kind, format!("{:?}", fault.spot))
    };
    let named = |kept: Vec<usize>| {
        let mut names: Vec<_> = kept.iter().map(name).collect();
        names.sort();
        names
    };
    subsets.filter(right).map(named).collect()
}

/// The group that each right answer leads to: whether each group holds one.
fn groups(
    boom: &Boom,
    case: &Case,
    readings: &Readings,
    diagnosis: &Diagnosis,
) -> Vec<(f64, bool)> {
    let right = right_answers(boom, case, readings);
    let mut groups: Vec<(f64, bool)> = diagnosis.groups.iter().map(|p| (*p, false)).collect();
    for explanation in &diagnosis.explanations {
        let mut names: Vec<_> = explanation
            .faults
            .iter()
            .map(|f| (f.fault.kind, format!("{:?}", f.fault.spot)))
            .collect();
        names.sort();
        groups[explanation.group].1 |= right.contains(&names);
    }
    groups
}

/// Reads `case` with `share` of the noise that is stated, diagnoses it, then `further` times takes the reading advised first.
pub(crate) fn follow(boom: &Boom, case: &Case, share: f64, further: usize, seed: u64) -> Outcome {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut readings = noisy(case, share, &mut rng);
    let mut diagnosis = diagnose(&boom.scenario, &readings).unwrap();
    let lead = &diagnosis.explanations[0];
    let mut outcome = Outcome {
        truth: case.truth.iter().map(|(fault, _)| fault.kind).collect(),
        outside: case.outside,
        clear: case.clear,
        shows: case.shows,
        leads: lead.faults.iter().map(|fitted| fitted.fault.kind).collect(),
        groups: groups(boom, case, &readings, &diagnosis),
        something_else: diagnosis.something_else,
        places: Vec::new(),
        tied: diagnosis.explanations.iter().filter(|e| e.group == 0).count(),
    };
    for taken in 0..=further {
        let found = groups(boom, case, &readings, &diagnosis);
        outcome.places.push(found.iter().position(|(_, right)| *right));
        if taken == further {
            break;
        }
        let Some(more) = advised(boom, case, &readings, &diagnosis, share, &mut rng) else { break };
        readings = more;
        diagnosis = diagnose(&boom.scenario, &readings).unwrap();
    }
    outcome
}

/// `readings` with the reading advised first taken at the real machine; `None` where none is advised, or where the machine does
/// not run in that state.
fn advised(
    boom: &Boom,
    case: &Case,
    readings: &Readings,
    diagnosis: &Diagnosis,
    share: f64,
    rng: &mut ChaCha8Rng,
) -> Option<Readings> {
    let list = next(&boom.scenario, readings, diagnosis).unwrap();
    let measurement = list.first()?;
    let stated = accuracy(measurement.place);
    let asked = measurement.taken(0.0, Accuracy::Share(stated), readings);
    let exact = case.real.read(&asked)?;
    let state = exact.states.iter().find(|state| state.name == measurement.state.name)?;
    let value = state.readings.last()?.value * (1.0 + share * stated * normal(rng));
    Some(measurement.taken(value, Accuracy::Share(stated), readings))
}
