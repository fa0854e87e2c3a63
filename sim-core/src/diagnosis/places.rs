//! Where, and in what state, something could still be measured.

use super::catalogue::{caught, uncaught};
use super::fit::least_doubt;
use super::machine::InstrumentedMachine;
use crate::hydraulics::{FlowState, Reached};
use crate::plumbing::{BranchId, GaugeId, NodeId, Part, Plumbing, SectionId, Side, TipId};
use crate::procedure::{Action, Actuator, Step};
use crate::scenario::{Accuracy, ReadingPlace, Readings, Scenario, State};

/// Share of its gain that a measurement keeps where a line must be opened for it.
const OPENED: f64 = 0.7;
/// The same where the machine must be put into another state.
const ANOTHER_STATE: f64 = 0.85;
/// The same in a known state other than the first.
const FURTHER_STATE: f64 = 0.97;
/// Uncertainty of a kind of reading none of which was taken, as a share: common practice, no source.
const USUAL: f64 = 0.02;

/// What the recirculation valve of a machine without that role is called.
const RETURN_VALVE: &str = "return-valve";
/// Speeds of the pump to circulate at, as shares of full speed: a low one spares the hoses.
const SPEEDS: [f64; 3] = [0.5, 0.75, 1.0];

/// A measurement that could be taken.
pub(super) struct Measurable {
    /// Index among [`states`].
    pub(super) state: usize,
    pub(super) place: ReadingPlace,
    /// Share of its gain that is left after its effort.
    pub(super) effort: f64,
}

/// The states of `readings` and, after them, others a technician can put the machine into: pump flat out with nothing
/// held, the left half of the boom alone, circulating wherever there is a way back to the tank. A state that the healthy machine
/// does not reach is not among them.
pub(super) fn states(scenario: &Scenario, readings: &Readings) -> Vec<State> {
    let mut states = readings.states.clone();
    let sprays = readings.states.iter().find(|state| state.action == Action::Spray);
    let plumbing = &scenario.machine.plumbing;
    let mut more = Vec::new();
    if let Some(first) = sprays {
        if readings.states.iter().all(|state| !state.controls.is_empty()) {
            more.push(flat_out(first, plumbing));
        }
        more.extend(left_half(first, plumbing));
    }
    if readings.states.iter().all(|state| state.action != Action::Circulate) {
        let ways = circulating(scenario, sprays);
        more.extend(ways.into_iter().find(|state| is_reached(scenario, state)));
    }
    more.retain(|state| is_reached(scenario, state));
    states.extend(more);
    states
}

/// Whether the healthy machine gets into `state` and holds all that is held.
fn is_reached(scenario: &Scenario, state: &State) -> bool {
    let found = InstrumentedMachine::healthy(scenario).run(std::slice::from_ref(state));
    let held = |instant: &FlowState| instant.actuator.iter().all(|a| a.reached == Reached::Yes);
    found.is_ok_and(|instants| instants.iter().all(held))
}

/// Ways to circulate, the best first: as the scenario does, holding what is held to spray, at a part of the pump's speed; none
/// without a return valve.
fn circulating(scenario: &Scenario, sprays: Option<&State>) -> Vec<State> {
    let mut machine = scenario.machine.clone();
    let named = machine.plumbing.branch_named(RETURN_VALVE);
    machine.roles.return_valve = machine.roles.return_valve.or(named);
    if machine.roles.return_valve.is_none() {
        return Vec::new();
    }
    let own = scenario.course.steps.iter().find(|step| step.action == Action::Circulate).cloned();
    let wide = Step::circulate(&machine);
    let held = sprays.map(|state| Step { controls: state.controls.clone(), ..wide.clone() });
    let pump = machine.roles.pump;
    let fixed = pump.into_iter().flat_map(|pump| {
        let wide = &wide;
        SPEEDS.map(|speed| wide.clone().pump(pump, speed))
    });
    let state = |step: Step| State {
        name: "circulating".into(),
        action: Action::Circulate,
        settings: step.settings,
        controls: step.controls,
        readings: Vec::new(),
    };
    own.into_iter().chain(held).chain(fixed).map(state).collect()
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

/// The left half of the boom alone; `None` where sections cannot be closed or nothing is held then.
fn left_half(first: &State, plumbing: &Plumbing) -> Option<State> {
    if plumbing.sections.len() < 2 || first.controls.is_empty() {
        return None;
    }
    let mut state = State { readings: Vec::new(), ..first.clone() };
    let kept = plumbing.sections.len().div_ceil(2);
    for section in &plumbing.sections[kept..] {
        state.settings.opening[section.valve?.index()] = 0.0;
    }
    for (tip, opening) in plumbing.tips.iter().zip(&mut state.settings.tip_opening) {
        if tip.section.is_some_and(|section| section.index() >= kept) {
            *opening = 0.0;
        }
    }
    state.name = "left half of the boom open".into();
    Some(state)
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
