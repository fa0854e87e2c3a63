//! What to measure next: the most informative reading.

use super::common_error;
use super::extended::extended;
use super::fault::Fault;
use super::fit::Bench;
use super::machine::InstrumentedMachine;
use super::model::{Diagnosis, DiagnosisError, Explanation, Fitted};
use super::places::{self, Measurable};
use crate::hydraulics::FlowState;
use crate::scenario::{Accuracy, Reading, ReadingPlace, Readings, Scenario, State};
use nalgebra::DMatrix;
use rayon::prelude::*;

/// Explanations that a measurement is to tell apart.
const RIVALS: usize = 16;
/// Hidden faults that a measurement is to reveal.
const HIDDEN: usize = 16;
/// Probability below which an explanation is no rival.
const LEAST_PROBABILITY: f64 = 2e-3;
/// Step of the standard score of a severity for the derivative.
const STEP: f64 = 1e-3;
/// Measurements listed.
const LISTED: usize = 5;
/// Nodes and weights of Gauss and Hermite for a standard normal number, nine points (Abramowitz & Stegun, table 25.10,
/// scaled by root 2 and root pi; computed).
const NODES: [(f64, f64); 5] = [
    (0.0, 0.406_349_206_349_206_35),
    (1.023_255_663_789_132_6, 0.244_097_502_894_939_1),
    (2.076_847_978_677_83, 0.049_916_406_765_217_9),
    (3.205_429_002_856_47, 0.002_789_141_321_231_769),
    (4.512_745_863_399_783, 2.234_584_400_774_663e-5),
];

/// A measurement not yet taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Measurement {
    /// The state to put the machine in; its readings are empty.
    pub state: State,
    /// Whether the readings know this state already.
    pub state_is_known: bool,
    /// Pressure to expect at the machine's gauges in that state, Pa gauge, by the best explanation.
    pub gauges_pa: Vec<f64>,
    /// Where to read.
    pub place: ReadingPlace,
    /// Expected information, bits: how much the reading narrows down which explanation holds, on average.
    pub gain_bits: f64,
    /// What each rival lets expect, the most probable first: value in SI.
    pub expected: Vec<(Rival, f64)>,
    /// Uncertainty of such a reading, SI: one standard deviation.
    pub sigma: f64,
}

/// The most informative measurements about what `diagnosis` leaves open, the best first.
///
/// The gain is the mutual information between the explanations and the reading (Lindley 1956, from memory), with each
/// explanation's reading spread by the uncertainty of the reading and of the fitted severity. Where a gauge needs a line to be
/// opened, or the machine another state, the gain must outweigh the effort: it counts less.
///
/// # Errors
/// A [`DiagnosisError`] where the healthy machine has no solution.
pub fn next(
    scenario: &Scenario,
    readings: &Readings,
    diagnosis: &Diagnosis,
) -> Result<Vec<Measurement>, DiagnosisError> {
    let plumbing = extended(&scenario.machine.plumbing);
    let bench = Bench::new(scenario, &plumbing, readings)?;
    let rivals = rivals(diagnosis);
    if rivals.len() < 2 {
        return Ok(Vec::new());
    }
    let states = places::states(scenario, readings);
    let forecast = |(name, weight): &(Rival, f64)| {
        let faults = match name {
            Rival::Explanation(i) => &diagnosis.explanations[*i].faults[..],
            Rival::Hidden(hidden) => std::slice::from_ref(hidden),
        };
        Some((*name, *weight, Forecast::of(&bench, faults, &states)?))
    };
    let known: Vec<(Rival, f64, Forecast<'_>)> = rivals.par_iter().filter_map(forecast).collect();
    if known.is_empty() {
        return Ok(Vec::new());
    }
    let all: f64 = known.iter().map(|(_, weight, _)| weight).sum();
    let weights: Vec<f64> = known.iter().map(|(_, weight, _)| weight / all).collect();
    let known: Vec<(Rival, Forecast<'_>)> =
        known.into_iter().map(|(name, _, forecast)| (name, forecast)).collect();
    let spots = places::spots(scenario, readings, &states);
    let off = common_error::off(scenario, readings.model_accuracy);
    let Some(model) = Model::of(scenario, &off, &states) else { return Ok(Vec::new()) };
    let mut measurements: Vec<(f64, Measurement)> = spots
        .par_iter()
        .filter_map(|spot| {
            let (measurement, effort) = weigh(spot, &known, &weights, (&states, &model), readings)?;
            Some((measurement.gain_bits * effort, measurement))
        })
        .collect();
    measurements.sort_by(|a, b| b.0.total_cmp(&a.0));
    // One place is listed once, in its most informative state.
    let mut listed: Vec<ReadingPlace> = Vec::new();
    measurements.retain(|(_, measurement)| {
        let new = !listed.contains(&measurement.place);
        listed.push(measurement.place);
        new
    });
    measurements.truncate(LISTED);
    Ok(measurements.into_iter().map(|(_, measurement)| measurement).collect())
}

/// One of what a reading is to tell apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rival {
    /// An explanation, by its index.
    Explanation(usize),
    /// A fault too small to show so far.
    Hidden(Fitted),
}

/// Explanations and hidden faults likely enough to be told apart, with their weights, the most probable first.
fn rivals(diagnosis: &Diagnosis) -> Vec<(Rival, f64)> {
    let hidden = diagnosis.hidden.iter().take(HIDDEN);
    let hidden: Vec<(Rival, f64)> =
        hidden.map(|h| (Rival::Hidden(h.fitted), h.probability)).collect();
    let all_hidden: f64 = hidden.iter().map(|(_, probability)| probability).sum();
    let weight = |e: &Explanation| {
        // No fault holds the hidden ones within its probability.
        if e.is_healthy() { e.probability - all_hidden } else { e.probability }
    };
    let explanations = diagnosis.explanations.iter().enumerate();
    let mut rivals: Vec<(Rival, f64)> =
        explanations.map(|(i, e)| (Rival::Explanation(i), weight(e))).collect();
    rivals.sort_by(|a, b| b.1.total_cmp(&a.1));
    rivals.truncate(RIVALS);
    rivals.extend(hidden);
    rivals.retain(|(_, weight)| *weight >= LEAST_PROBABILITY);
    rivals.sort_by(|a, b| b.1.total_cmp(&a.1));
    rivals
}

/// What one explanation lets expect in every state.
struct Forecast<'a> {
    machine: InstrumentedMachine<'a>,
    instants: Vec<FlowState>,
    /// The machine with each severity a step larger.
    moved: Vec<(InstrumentedMachine<'a>, Vec<FlowState>)>,
    covariance: DMatrix<f64>,
}

impl<'a> Forecast<'a> {
    fn of(bench: &Bench<'a>, fitted: &[Fitted], states: &[State]) -> Option<Self> {
        let faults: Vec<Fault> = fitted.iter().map(|f| f.fault).collect();
        let score = |f: &Fitted| Some(bench.priors.severity(f.fault.kind)?.score(f.severity));
        let scores: Vec<f64> = fitted.iter().filter_map(score).collect();
        let machine = bench.machine(&faults, &scores);
        let instants = machine.run(states).ok()?;
        let predicted = bench.predict(&machine, &instants);
        let fit = super::fit::Fit { scores: scores.clone(), misfit: 0.0, predicted };
        let slopes = bench.slopes(&faults, &fit)?;
        let free = scores.len();
        // Scores are known beforehand to a standard deviation of 1.
        let information = slopes.tr_mul(&slopes) + DMatrix::identity(free, free);
        let covariance = information.try_inverse()?;
        let mut moved = Vec::new();
        for i in 0..free {
            let mut larger = scores.clone();
            larger[i] += STEP;
            let machine = bench.machine(&faults, &larger);
            let instants = machine.run(states).ok()?;
            moved.push((machine, instants));
        }
        Some(Self { machine, instants, moved, covariance })
    }

    /// What the machine's gauges show in state `i`, Pa gauge.
    fn gauges_pa(&self, i: usize, state: &State) -> Vec<f64> {
        let gauge = |place| self.machine.reading(place, &self.instants[i], state);
        self.machine.own_gauges().map(gauge).collect()
    }

    /// Mean and variance by the uncertainty of the severities of a reading at `place` in state `i`.
    fn at(&self, place: ReadingPlace, i: usize, state: &State) -> (f64, f64) {
        let mean = self.machine.reading(place, &self.instants[i], state);
        let slope = |(machine, instants): &(InstrumentedMachine<'a>, Vec<FlowState>)| {
            (machine.reading(place, &instants[i], state) - mean) / STEP
        };
        let slopes = DMatrix::from_iterator(self.moved.len(), 1, self.moved.iter().map(slope));
        let variance = slopes.tr_mul(&(&self.covariance * &slopes));
        (mean, variance.iter().sum::<f64>().max(0.0))
    }
}

/// The healthy machine, and with each kind of loss off as it may be.
struct Model<'a> {
    healthy: (InstrumentedMachine<'a>, Vec<FlowState>),
    off: Vec<(InstrumentedMachine<'a>, Vec<FlowState>)>,
}

impl<'a> Model<'a> {
    fn of(scenario: &'a Scenario, off: &'a [Scenario], states: &[State]) -> Option<Self> {
        let run = |machine: InstrumentedMachine<'a>| {
            let instants = machine.run(states).ok()?;
            Some((machine, instants))
        };
        let off = common_error::machines(off).into_iter().filter_map(run).collect();
        Some(Self { healthy: run(InstrumentedMachine::healthy(scenario))?, off })
    }

    /// How far a reading at `spot` may be off because losses are, SI: one standard deviation.
    fn off(&self, spot: &Measurable, state: &State) -> f64 {
        let read = |(machine, instants): &(InstrumentedMachine<'_>, Vec<FlowState>)| {
            machine.reading(spot.place, &instants[spot.state], state)
        };
        let squares = self.off.iter().map(|off| (read(off) - read(&self.healthy)).powi(2));
        squares.sum::<f64>().sqrt()
    }
}

/// What a measurement at `spot` would add, and the share of it that the effort leaves.
fn weigh(
    spot: &Measurable,
    known: &[(Rival, Forecast<'_>)],
    weights: &[f64],
    (states, model): (&[State], &Model<'_>),
    readings: &Readings,
) -> Option<(Measurement, f64)> {
    let state = &states[spot.state];
    let expected: Vec<(f64, f64)> =
        known.iter().map(|(_, forecast)| forecast.at(spot.place, spot.state, state)).collect();
    let typical = weights.iter().zip(&expected).map(|(w, (mean, _))| w * mean.abs()).sum();
    let sigma = places::sigma(spot.place, typical, readings);
    let sigma = sigma.hypot(model.off(spot, state));
    let normals: Vec<(f64, f64)> = expected
        .iter()
        .map(|(mean, variance)| (*mean, (variance + sigma * sigma).sqrt()))
        .collect();
    if normals.iter().any(|(mean, sd)| !mean.is_finite() || !sd.is_finite()) {
        return None;
    }
    let gain_bits = information(weights, &normals) / std::f64::consts::LN_2;
    let known_states = readings.states.len();
    let mut empty = state.clone();
    empty.readings.clear();
    let measurement = Measurement {
        state: empty,
        state_is_known: spot.state < known_states,
        gauges_pa: known[0].1.gauges_pa(spot.state, state),
        place: spot.place,
        gain_bits,
        expected: known.iter().zip(&expected).map(|((i, _), (mean, _))| (*i, *mean)).collect(),
        sigma,
    };
    Some((measurement, spot.effort))
}

/// Mutual information, nats, between which of `normals` (mean, standard deviation) holds with its weight and a number drawn
/// from it.
fn information(weights: &[f64], normals: &[(f64, f64)]) -> f64 {
    let density = |y: f64, (mean, sd): (f64, f64)| {
        let z = (y - mean) / sd;
        (-0.5 * z * z).exp() / sd
    };
    let mixed = |y: f64| -> f64 {
        weights.iter().zip(normals).map(|(w, normal)| w * density(y, *normal)).sum()
    };
    let gain = |normal: (f64, f64)| -> f64 {
        let at = |z: f64| {
            let y = normal.0 + z * normal.1;
            (density(y, normal) / mixed(y)).ln()
        };
        NODES.iter().map(|(z, w)| if *z == 0.0 { w * at(0.0) } else { w * (at(*z) + at(-z)) }).sum()
    };
    weights.iter().zip(normals).filter(|(w, _)| **w > 0.0).map(|(w, n)| w * gain(*n)).sum()
}

impl Measurement {
    /// `readings` with this measurement, which gave `value`.
    pub fn taken(&self, value: f64, accuracy: Accuracy, readings: &Readings) -> Readings {
        let mut taken = readings.clone();
        let reading = Reading { place: self.place, value, accuracy };
        match taken.states.iter_mut().find(|state| state.name == self.state.name) {
            Some(state) => state.readings.push(reading),
            None => {
                let mut state = self.state.clone();
                state.readings.push(reading);
                taken.states.push(state);
            }
        }
        taken
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_reading_that_parts_two_equal_chances_is_worth_one_bit_and_one_that_does_not_nothing() {
        let apart = information(&[0.5, 0.5], &[(0.0, 1.0), (50.0, 1.0)]) / std::f64::consts::LN_2;
        assert_relative_eq!(apart, 1.0, max_relative = 1e-6);
        let same = information(&[0.5, 0.5], &[(3.0, 1.0), (3.0, 1.0)]);
        assert!(same.abs() < 1e-6);
    }

    #[test]
    fn weights_of_the_quadrature_are_those_of_a_normal_number() {
        let moment = |power: i32| -> f64 {
            let both = |(z, w): &(f64, f64)| {
                if *z == 0.0 { if power == 0 { *w } else { 0.0 } } else { 2.0 * w * z.powi(power) }
            };
            NODES.iter().map(both).sum()
        };
        assert_relative_eq!(moment(0), 1.0, max_relative = 1e-9);
        assert_relative_eq!(moment(2), 1.0, max_relative = 1e-9);
        assert_relative_eq!(moment(4), 3.0, max_relative = 1e-8);
    }
}
