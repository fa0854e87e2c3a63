//! Where, and in what state, something could still be measured.

use super::catalogue::{caught, uncaught};
use super::fit::least_doubt;
use crate::plumbing::{BranchId, GaugeId, NodeId, Part, Plumbing, SectionId, Side, TipId};
use crate::procedure::{Action, Actuator};
use crate::scenario::{Accuracy, ReadingPlace, Readings, Scenario, State};

/// Share of its gain that a measurement keeps where a line must be opened for it.
const OPENED: f64 = 0.7;
/// The same where the machine must be put into another state.
const ANOTHER_STATE: f64 = 0.85;
/// The same in a known state other than the first.
const FURTHER_STATE: f64 = 0.97;
/// Uncertainty of a kind of reading none of which was taken, as a share: common practice, no source.
const USUAL: f64 = 0.02;

/// A measurement that could be taken.
pub(super) struct Measurable {
    /// Index among [`states`].
    pub(super) state: usize,
    pub(super) place: ReadingPlace,
    /// Share of its gain that is left after its effort.
    pub(super) effort: f64,
}

/// The states of `readings` and, after them, others a technician can put the machine into: pump flat out with nothing
/// held, the left half of the boom alone, circulating.
pub(super) fn states(scenario: &Scenario, readings: &Readings) -> Vec<State> {
    let mut states = readings.states.clone();
    let Some(first) = readings.states.iter().find(|state| state.action == Action::Spray).cloned()
    else {
        return states;
    };
    let plumbing = &scenario.machine.plumbing;
    if readings.states.iter().all(|state| !state.controls.is_empty()) {
        states.push(flat_out(&first, plumbing));
    }
    if plumbing.sections.len() > 1 && !first.controls.is_empty() {
        states.push(left_half(&first, plumbing));
    }
    let circulates = readings.states.iter().any(|state| state.action == Action::Circulate);
    let circulating = scenario.course.steps.iter().find(|step| step.action == Action::Circulate);
    if let Some(step) = circulating.filter(|_| !circulates) {
        states.push(State {
            name: "circulating".into(),
            action: Action::Circulate,
            settings: step.settings.clone(),
            controls: step.controls.clone(),
            readings: Vec::new(),
        });
    }
    states
}

fn flat_out(first: &State, plumbing: &Plumbing) -> State {
    let mut state = State { readings: Vec::new(), controls: Vec::new(), ..first.clone() };
    for control in &first.controls {
        match control.by {
            Actuator::PumpSpeed(id) => {
                let top = plumbing.branch(id).part.pump().map_or(1.0, |pump| pump.top_speed);
                state.settings.speed[id.index()] = top;
            }
            // A valve that holds pressure by letting flow back is closed; any other is opened.
            Actuator::ValveOpening(id) => {
                let back = plumbing.node(plumbing.branch(id).to).tank.is_some();
                state.settings.opening[id.index()] = if back { 0.0 } else { 1.0 };
            }
        }
    }
    state.name = "flat out".into();
    state
}

fn left_half(first: &State, plumbing: &Plumbing) -> State {
    let mut state = State { readings: Vec::new(), ..first.clone() };
    let kept = plumbing.sections.len().div_ceil(2);
    for section in &plumbing.sections[kept..] {
        if let Some(valve) = section.valve {
            state.settings.opening[valve.index()] = 0.0;
        }
    }
    for (tip, opening) in plumbing.tips.iter().zip(&mut state.settings.tip_opening) {
        if tip.section.is_some_and(|section| section.index() >= kept) {
            *opening = 0.0;
        }
    }
    state.name = "left half of the boom open".into();
    state
}

/// Every measurement not yet taken.
pub(super) fn spots(scenario: &Scenario, readings: &Readings, states: &[State]) -> Vec<Measurable> {
    let plumbing = &scenario.machine.plumbing;
    let caught = caught(readings);
    let mut spots = Vec::new();
    for (i, state) in states.iter().enumerate() {
        let another = match i {
            0 => 1.0,
            i if i < readings.states.len() => FURTHER_STATE,
            _ => ANOTHER_STATE,
        };
        let sprays = state.action == Action::Spray;
        let mut add = |place: ReadingPlace, effort: f64| {
            if !state.readings.iter().any(|reading| reading.place == place) {
                spots.push(Measurable { state: i, place, effort: effort * another });
            }
        };
        instruments(plumbing, state).into_iter().for_each(|place| add(place, 1.0));
        for (node, effort) in gauge_nodes(plumbing) {
            add(ReadingPlace::TestGauge(node), effort);
        }
        if sprays {
            let tips = tips(plumbing, &caught).into_iter();
            tips.filter(|tip| state.settings.tip_opening[tip.index()] > 0.0)
                .for_each(|tip| add(ReadingPlace::Catch(tip), 1.0));
        }
    }
    spots
}

/// What the machine shows by itself in `state`.
fn instruments(plumbing: &Plumbing, state: &State) -> Vec<ReadingPlace> {
    let mut places: Vec<ReadingPlace> =
        (0..plumbing.gauges.len()).map(|i| ReadingPlace::OwnGauge(GaugeId::at(i))).collect();
    for (i, branch) in plumbing.branches.iter().enumerate() {
        let id = BranchId::at(i);
        match branch.part {
            Part::Meter(_) => places.push(ReadingPlace::Meter(id)),
            Part::Pump(_) if state.controls.iter().any(|c| c.by == Actuator::PumpSpeed(id)) => {
                places.push(ReadingPlace::Speed(id));
            }
            _ => {}
        }
    }
    places
}

/// Nodes where a test gauge can sit, with the share of the gain left: the tips' bodies and the gauges' places take one
/// without more ado, elsewhere a line is opened.
fn gauge_nodes(plumbing: &Plumbing) -> Vec<(NodeId, f64)> {
    let mut nodes: Vec<(NodeId, f64)> = Vec::new();
    let mut add = |node: NodeId, effort: f64| {
        let known = nodes.iter().any(|(other, _)| *other == node);
        if !known && plumbing.node(node).tank.is_none() {
            nodes.push((node, effort));
        }
    };
    plumbing.gauges.iter().for_each(|gauge| add(gauge.node, 1.0));
    for section in &plumbing.sections {
        section.far_ends.iter().for_each(|node| add(*node, 1.0));
        section.feed_end.iter().for_each(|node| add(*node, OPENED));
    }
    for branch in plumbing.branches.iter().filter(|branch| branch.side != Side::Boom) {
        add(branch.from, OPENED);
        add(branch.to, OPENED);
    }
    nodes
}

/// Tips to catch: those caught already, in other states, and in each section one more.
fn tips(plumbing: &Plumbing, caught: &[TipId]) -> Vec<TipId> {
    let mut tips = caught.to_vec();
    for i in 0..plumbing.sections.len() {
        let id = SectionId::at(i);
        let stands_for_all = uncaught(id, plumbing, caught);
        let all = plumbing.tips.iter().enumerate();
        let left = all
            .filter(|(_, tip)| tip.section == Some(id))
            .map(|(i, _)| TipId::at(i))
            .find(|tip| !caught.contains(tip) && Some(*tip) != stands_for_all);
        tips.extend(left);
    }
    tips
}

/// Uncertainty of a reading of about `typical` at `place`, as good as the readings of its kind are.
pub(super) fn sigma(place: ReadingPlace, typical: f64, readings: &Readings) -> f64 {
    let kind = std::mem::discriminant(&place);
    let alike = |other: ReadingPlace| {
        std::mem::discriminant(&other) == kind || (other.is_pressure() && place.is_pressure())
    };
    let mut shares =
        readings.states.iter().flat_map(|state| &state.readings).filter_map(|r| match r.accuracy {
            Accuracy::Share(share) if alike(r.place) => Some(share),
            _ => None,
        });
    let share = shares.next().unwrap_or(USUAL).hypot(readings.model_accuracy);
    (share * typical).hypot(least_doubt(place))
}
