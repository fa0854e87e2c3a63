//! What comes of a case: where the true fault ranks, at once and after further measurements.

use crate::booms::Boom;
use crate::cases::{Case, noisy, normal};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use sim_core::diagnosis::{Diagnosis, FaultKind, diagnose, next, simulate};
use sim_core::scenario::{Accuracy, Readings, Scenario};

/// What came of a case.
#[derive(Clone, Debug)]
pub(crate) struct Outcome {
    /// The true kinds; empty for a healthy machine.
    pub(crate) truth: Vec<FaultKind>,
    /// The kinds that lead; empty where no fault is called.
    pub(crate) leads: Vec<FaultKind>,
    /// Whether the truth leads alone or first of those that the readings cannot tell apart.
    pub(crate) leads_truly: bool,
    /// The group of explanations that the truth is in, 0 the leading one; after none, one, two, ... further measurements.
    pub(crate) groups: Vec<Option<usize>>,
    /// How many explanations the leading group holds at first.
    pub(crate) tied: usize,
}

impl Outcome {
    /// Whether the truth is in the leading group after `further` measurements.
    pub(crate) fn first(&self, further: usize) -> bool {
        self.groups.get(further).or(self.groups.last()) == Some(&Some(0))
    }

    /// Whether it is in one of the first three groups.
    pub(crate) fn among_three(&self) -> bool {
        self.groups[0].is_some_and(|group| group < 3)
    }
}

/// Where the true faults stand among the explanations.
fn place_of(diagnosis: &Diagnosis, case: &Case) -> Option<usize> {
    diagnosis.explanations.iter().position(|explanation| {
        explanation.faults.len() == case.truth.len()
            && case
                .truth
                .iter()
                .all(|(fault, _)| explanation.faults.iter().any(|fitted| fitted.fault == *fault))
    })
}

/// Reads `case` with `noise`, diagnoses it by `scenario`, then `further` times takes the measurement advised first.
/// `real` is the machine that gives the readings.
pub(crate) fn follow(
    (scenario, real): (&Scenario, &Boom),
    case: &Case,
    noise: f64,
    model_accuracy: f64,
    further: usize,
    seed: u64,
) -> Outcome {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut readings = noisy(case, noise, &mut rng);
    readings.model_accuracy = model_accuracy;
    let mut diagnosis = diagnose(scenario, &readings).unwrap();
    let lead = &diagnosis.explanations[0];
    let mut outcome = Outcome {
        truth: case.truth.iter().map(|(fault, _)| fault.kind).collect(),
        leads: lead.faults.iter().map(|fitted| fitted.fault.kind).collect(),
        leads_truly: place_of(&diagnosis, case) == Some(0),
        groups: Vec::new(),
        tied: diagnosis.explanations.iter().filter(|e| e.group == 0).count(),
    };
    for taken in 0..=further {
        let at = place_of(&diagnosis, case);
        outcome.groups.push(at.map(|i| diagnosis.explanations[i].group));
        if taken == further {
            break;
        }
        let Some(more) = advised(scenario, real, case, &readings, &diagnosis, noise, &mut rng)
        else {
            break;
        };
        readings = more;
        diagnosis = diagnose(scenario, &readings).unwrap();
    }
    outcome
}

/// `readings` with the measurement advised first taken at the real machine; `None` where none is advised.
fn advised(
    scenario: &Scenario,
    real: &Boom,
    case: &Case,
    readings: &Readings,
    diagnosis: &Diagnosis,
    noise: f64,
    rng: &mut ChaCha8Rng,
) -> Option<Readings> {
    let list = next(scenario, readings, diagnosis).unwrap();
    let measurement = list.first()?;
    let accuracy = Accuracy::Share(noise);
    let asked = measurement.taken(0.0, accuracy, readings);
    let exact = simulate(&real.scenario, &case.truth, &asked).unwrap();
    let state = exact.states.iter().find(|state| state.name == measurement.state.name)?;
    let value = state.readings.last()?.value * (1.0 + noise * normal(rng));
    Some(measurement.taken(value, accuracy, readings))
}
