//! What a gauge, a catch test or a meter should read at a machine that is as its scenario says, and within what band.

use super::fault::Fault;
use super::machine::InstrumentedMachine;
use super::model::{DiagnosisError, Unreal};
use super::spreads::{SPREADS, Spread, WATER_C};
use crate::fluids::water;
use crate::hydraulics::Reached;
use crate::plumbing::{BranchId, GaugeId, Part, Plumbing, SectionId, TipId};
use crate::procedure::{Action, Actuator, Held};
use crate::scenario::{ReadingPlace, Scenario, State};

/// Most tips caught of a machine without sections.
const MOST_CATCHES: usize = 12;

/// A reading to expect, SI: Pa gauge, m3/s, or a share of full speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExpectedReading {
    /// Where and of what.
    pub place: ReadingPlace,
    /// What the scenario gives.
    pub value: f64,
    /// Lower end of the band.
    pub low: f64,
    /// Upper end of the band.
    pub high: f64,
}

/// A state to put a machine into, and what to expect there.
#[derive(Clone, Debug, PartialEq)]
pub struct ExpectedState {
    /// What is set.
    pub state: State,
    /// Whether everything that is held is reached.
    pub held: bool,
    /// What to read.
    pub readings: Vec<ExpectedReading>,
}

/// The states of flow that the steps of `scenario` set, each once, with what to expect in them: clean water at [`WATER_C`] in
/// full lines.
///
/// The band of a reading is the root of the sum of squares of how far each of [`SPREADS`] moves it, up and down apart (JCGM
/// 100:2008, 5.1.2, inputs independent): each input is put at both ends of its spread and the network solved again. Like the
/// spreads it holds about 95 of 100 machines.
///
/// # Errors
/// A [`DiagnosisError`] where the machine has no solution in a state, with or without an input at an end of its spread.
pub fn expected_readings(scenario: &Scenario) -> Result<Vec<ExpectedState>, DiagnosisError> {
    let mut with_water = scenario.clone();
    with_water.course.liquid = water(WATER_C);
    let found = states(&with_water).into_iter().map(|state| expected(&with_water, state));
    found.collect()
}

/// The states of flow that steps set, without what stands still and what lets air in.
fn states(scenario: &Scenario) -> Vec<State> {
    let mut states: Vec<State> = Vec::new();
    for step in &scenario.course.steps {
        let flows = step.action.sprays() || step.action == Action::Circulate;
        let (settings, controls) = (&step.settings, &step.controls);
        let known = |state: &State| (&state.settings, &state.controls) == (settings, controls);
        if flows && !states.iter().any(known) {
            states.push(State {
                name: step.name.clone(),
                action: step.action,
                settings: settings.clone(),
                controls: controls.clone(),
                readings: Vec::new(),
            });
        }
    }
    states
}

fn expected(scenario: &Scenario, state: State) -> Result<ExpectedState, DiagnosisError> {
    let unsolved = |with: &str, source| DiagnosisError::Unsolved {
        state: format!("{}{with}", state.name),
        source,
    };
    let places = places(&scenario.machine.plumbing, &state);
    let as_stated = InstrumentedMachine::healthy(scenario);
    let one = std::slice::from_ref(&state);
    let instants = as_stated.run(one).map_err(|source| unsolved("", source))?;
    let values: Vec<f64> =
        places.iter().map(|place| as_stated.reading(*place, &instants[0], &state)).collect();
    let mut squares = vec![(0.0, 0.0); places.len()];
    for spread in &SPREADS {
        for instrument in spread.instruments(&scenario.machine.plumbing) {
            let end =
                |upper| at_end(scenario, (&state, &places, &values), (spread, instrument), upper);
            let ends = end(false).and_then(|lower| Ok([lower, end(true)?]));
            let ends = ends.map_err(|source| unsolved(" with an input at its end", source))?;
            for (i, (down, up)) in squares.iter_mut().enumerate() {
                let moves = ends.each_ref().map(|read| read[i] - values[i]);
                *down += moves.iter().fold(0.0, |least: f64, by| least.min(*by)).powi(2);
                *up += moves.iter().fold(0.0, |most: f64, by| most.max(*by)).powi(2);
            }
        }
    }
    let bands = places.iter().zip(&values).zip(&squares);
    let reading = |((place, value), (down, up)): ((&ReadingPlace, &f64), &(f64, f64))| {
        let (low, high) = (value - f64::sqrt(*down), value + f64::sqrt(*up));
        ExpectedReading { place: *place, value: *value, low, high }
    };
    let readings = bands.map(reading).collect();
    let held = instants[0].actuator.iter().all(|actuated| actuated.reached == Reached::Yes);
    Ok(ExpectedState { held, readings, state })
}

/// What would be read with one input, or one `instrument`, at an end of its `spread`.
fn at_end(
    scenario: &Scenario,
    (state, places, values): (&State, &[ReadingPlace], &[f64]),
    (spread, instrument): (&Spread, Option<Fault>),
    upper: bool,
) -> Result<Vec<f64>, Unreal> {
    let alone = places.iter().zip(values);
    let alone = alone.map(|(place, value)| spread.of_reading(*place, *value, upper));
    if let Some(alone) = alone.collect::<Option<Vec<f64>>>() {
        return Ok(alone);
    }
    let (changed, one) = (spread.applied(scenario, upper), std::slice::from_ref(state));
    let off: Vec<(Fault, f64)> =
        instrument.into_iter().map(|fault| (fault, spread.factor(upper))).collect();
    let machine = InstrumentedMachine::healthy(&changed).with(&off, &[], one);
    let instants = machine.run(one)?;
    Ok(places.iter().map(|place| machine.reading(*place, &instants[0], state)).collect())
}

/// Where to read in `state`: the machine's own instruments, a test gauge where its own one is held, both ends of every section,
/// a tip near each end.
fn places(plumbing: &Plumbing, state: &State) -> Vec<ReadingPlace> {
    let mut places: Vec<ReadingPlace> =
        (0..plumbing.gauges.len()).map(|i| ReadingPlace::OwnGauge(GaugeId::at(i))).collect();
    for control in &state.controls {
        if let Held::Pressure { node, .. } = control.held {
            places.push(ReadingPlace::TestGauge(node));
        }
    }
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if matches!(branch.part, Part::Meter(_)) {
            places.push(ReadingPlace::Meter(BranchId::at(i)));
        }
        if state.controls.iter().any(|c| c.by == Actuator::PumpSpeed(BranchId::at(i))) {
            places.push(ReadingPlace::Speed(BranchId::at(i)));
        }
    }
    let (mut gauges, mut catches) = (Vec::new(), Vec::new());
    for i in 0..plumbing.sections.len() {
        of_section(plumbing, state, SectionId::at(i), &mut gauges, &mut catches);
    }
    if plumbing.sections.is_empty() {
        catches.extend((0..plumbing.tips.len().min(MOST_CATCHES)).map(TipId::at));
    }
    catches.retain(|tip| state.action.sprays() && state.settings.tip_opening[tip.index()] > 0.0);
    places.extend(gauges);
    places.extend(catches.into_iter().map(ReadingPlace::Catch));
    places
}

/// Both ends of a section that is open, and the tips next to them.
fn of_section(
    plumbing: &Plumbing,
    state: &State,
    section: SectionId,
    gauges: &mut Vec<ReadingPlace>,
    catches: &mut Vec<TipId>,
) {
    if state.settings.closes(plumbing, section) {
        return;
    }
    let ends = &plumbing.sections[section.index()];
    let nodes = ends.feed_end.into_iter().chain(ends.far_ends.iter().copied());
    gauges.extend(nodes.map(ReadingPlace::TestGauge));
    let tips = || {
        let all = plumbing.tips.iter().enumerate();
        all.filter(|(_, tip)| tip.section == Some(section)).map(|(i, tip)| (TipId::at(i), tip))
    };
    let feed_x = ends.feed_end.and_then(|node| plumbing.node(node).x_m);
    let near = feed_x.and_then(|x_m| {
        let away = |tip: &crate::plumbing::Tip| (tip.x_m - x_m).abs();
        tips().min_by(|a, b| away(a.1).total_cmp(&away(b.1)))
    });
    let far = tips().filter(|(_, tip)| ends.far_ends.contains(&tip.node));
    for (tip, _) in near.into_iter().chain(far) {
        if !catches.contains(&tip) {
            catches.push(tip);
        }
    }
}
