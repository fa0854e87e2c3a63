//! The state of flow through time: from one step's to the next one's.

use crate::fluids::Liquid;
use crate::hydraulics::{
    AirFlowState, Fillings, FlowState, Notice, STILL_M3_S, SolveError, Solver, TimeStep,
};
use crate::plumbing::Plumbing;
use crate::procedure::{Actuator, Course, ModelOptions, Ramp, Settings, Step};
use std::sync::Arc;

/// First time step after something has jumped, which is of first order, and the shortest of second order, s.
const FIRST_S: f64 = 5e-4;
const SHORTEST_S: f64 = 2.5e-4;
/// Error that a time step may add to any flow, over the largest flow: all of them together stay below 0.1 %.
const TOLERANCE: f64 = 2e-4;
/// Share of the step that the estimated error would allow, and bounds for what the next one is over the last.
const CAREFUL: f64 = 0.9;
const SHRINKS: f64 = 0.2;
const GROWS: f64 = 2.0;
/// Parts into which a ramp is cut at least.
const RAMP_PARTS: f64 = 10.0;
/// Largest difference of a flow from its end, over the largest flow, that counts as arrived.
const ARRIVED: f64 = 1e-4;
/// Time after the last movement of any part by which the flow counts as arrived in any case, s.
const LATEST_S: f64 = 30.0;

/// Flows, pressures and the position of everything adjustable, now.
#[derive(Clone)]
pub(super) struct Flow {
    solver: Solver<'static>,
    plumbing: Arc<Plumbing>,
    liquid: Arc<Liquid>,
    model: ModelOptions,
    /// Whether the solver knows of air.
    with_air: bool,
    now: Option<Settings>,
    pub(super) instant: FlowState,
    /// The same with flows averaged over the last time step.
    pub(super) mean: FlowState,
}

/// The way from the flow of one step to that of the next.
#[derive(Clone)]
pub(super) struct Transition {
    ramp: Ramp,
    pub(super) end: FlowState,
    pub(super) time_s: f64,
    dt_s: f64,
    /// How fast flows change, m3/s2; `None` where something has just jumped.
    pub(super) rate: Option<Vec<f64>>,
    pub(super) arrived: bool,
}

/// The settings of `step` with its actuators where its steady flow `end` has them.
fn settled(step: &Step, end: &FlowState) -> Settings {
    let mut to = step.settings.clone();
    for (control, actuated) in step.controls.iter().zip(&end.actuator) {
        match control.by {
            Actuator::PumpSpeed(id) => to.speed[id.index()] = actuated.value,
            Actuator::ValveOpening(id) => to.opening[id.index()] = actuated.value,
        }
    }
    to
}

fn solver(
    plumbing: &Arc<Plumbing>,
    liquid: &Arc<Liquid>,
    model: ModelOptions,
    with_air: bool,
) -> Solver<'static> {
    Solver::of(Arc::clone(plumbing).into(), Arc::clone(liquid).into(), model, with_air)
}

impl Flow {
    /// A machine at rest.
    pub(super) fn new(plumbing: Arc<Plumbing>, liquid: Arc<Liquid>, course: &Course) -> Self {
        let (model, with_air) = (course.model, course.may_hold_air());
        let solver = solver(&plumbing, &liquid, model, with_air);
        let rest = FlowState::at_rest(&plumbing);
        let (mean, instant) = (rest.clone(), rest);
        Self { solver, plumbing, liquid, model, with_air, now: None, mean, instant }
    }

    /// Makes the solver know of air from now on, if it does not yet.
    pub(super) fn allow_air(&mut self) {
        if !std::mem::replace(&mut self.with_air, true) {
            self.solver = solver(&self.plumbing, &self.liquid, self.model, true);
        }
    }

    /// The steady flow of `step`, starting from nothing known but the last solution.
    pub(super) fn steady(&mut self, step: &Step) -> Result<FlowState, SolveError> {
        self.solver.solve(&step.settings, &step.controls)
    }

    /// What flows now, with where the actuators go and which setpoints `end` does not reach.
    pub(super) fn on_the_way_to(&self, end: &FlowState) -> FlowState {
        let mut now = FlowState { actuator: end.actuator.clone(), ..self.instant.clone() };
        let missed = end.notices.iter().filter(|notice| matches!(notice, Notice::NotHeld { .. }));
        now.notices.extend(missed.cloned());
        now
    }

    /// A pump that has drawn air moves nothing: the next step starts from rest.
    pub(super) fn lose_prime(&mut self) {
        self.now = self.now.as_ref().map(Settings::at_rest);
        self.instant.flow_m3_s.fill(0.0);
        self.instant.tip_flow_m3_s.fill(0.0);
        self.mean.clone_from(&self.instant);
    }

    /// Everything flows and is set as in `step`, whose steady flow is `end`: nothing has to come to it any more.
    pub(super) fn establish(&mut self, step: &Step, end: &FlowState) {
        self.now = Some(settled(step, end));
        self.instant.clone_from(end);
        self.mean.clone_from(end);
    }

    /// Sets out for `step`, whose steady flow is `end`.
    pub(super) fn set_out(&mut self, step: &Step, end: FlowState) -> Transition {
        let to = settled(step, &end);
        let from = self.now.take().unwrap_or_else(|| to.at_rest());
        self.now = Some(from.clone());
        let ramp = Ramp::new(from, to, &step.change, &step.controls);
        Transition { ramp, end, time_s: 0.0, dt_s: FIRST_S, rate: None, arrived: false }
    }

    /// Where everything adjustable stands.
    pub(super) fn settings(&mut self) -> &mut Option<Settings> {
        &mut self.now
    }

    /// Flows after `dt_s` with air in the plumbing, from those of now; to four digits where `rough`.
    pub(super) fn solve_air(
        &mut self,
        fillings: &Fillings,
        dt_s: f64,
        rough: bool,
    ) -> Result<AirFlowState, SolveError> {
        let rest;
        let now = match &self.now {
            Some(now) => now,
            None => {
                rest = Settings::of(&self.plumbing).at_rest();
                &rest
            }
        };
        self.solver.advance_air(now, fillings, &self.instant, dt_s, rough)
    }

    /// Goes on by one time step of at most `longest_s`; returns its length, s. Where something has jumped, the first short
    /// step is part of it: pressures in that step alone, which depend on its length, are nobody's.
    pub(super) fn go_on(
        &mut self,
        transition: &mut Transition,
        longest_s: f64,
    ) -> Result<f64, SolveError> {
        if transition.arrived {
            self.mean.clone_from(&self.instant);
            return Ok(longest_s);
        }
        let jumped = transition.rate.is_none();
        let first_s = self.go_one_step(transition, longest_s)?;
        if !jumped || transition.arrived || transition.rate.is_none() || first_s >= longest_s {
            return Ok(first_s);
        }
        let first = std::mem::take(&mut self.mean);
        let second_s = self.go_one_step(transition, longest_s - first_s)?;
        let whole_s = first_s + second_s;
        self.mean.average_flows(&first, first_s / whole_s);
        Ok(whole_s)
    }

    fn go_one_step(
        &mut self,
        transition: &mut Transition,
        longest_s: f64,
    ) -> Result<f64, SolveError> {
        let corner = transition.next_corner_s();
        let longest_s = longest_s.min(corner);
        let mut now = self.now.take().unwrap_or_else(|| transition.ramp.end().clone());
        let step = self.time_step(transition, &mut now, longest_s);
        self.now = Some(now);
        let (dt_s, step) = step?;
        transition.time_s += dt_s;
        transition.rate = (dt_s < corner).then(|| step.last_rate().to_vec());
        let to_go = largest_difference(&step.end, &transition.end);
        (self.instant, self.mean) = (step.end, step.mean);
        let done = transition.time_s >= transition.ramp.done_s();
        let late = transition.time_s > transition.ramp.done_s() + LATEST_S;
        if done && (to_go < ARRIVED || late) {
            transition.arrived = true;
            self.instant.clone_from(&transition.end);
            self.now = Some(transition.ramp.end().clone());
        }
        Ok(dt_s)
    }

    /// A time step as long as its error allows, at most `longest_s`, and its length, s. Leaves the settings of its end in
    /// `now` and the length of the next one in `transition`.
    fn time_step(
        &mut self,
        transition: &mut Transition,
        now: &mut Settings,
        longest_s: f64,
    ) -> Result<(f64, TimeStep), SolveError> {
        let Some(rate) = &transition.rate else {
            let dt_s = FIRST_S.min(longest_s);
            transition.ramp.at(transition.time_s + dt_s, now);
            transition.dt_s = FIRST_S;
            return Ok((dt_s, self.solver.set_out(now, &self.instant, dt_s)?));
        };
        let moving = transition.time_s < transition.ramp.done_s() && transition.ramp.ramp_s() > 0.0;
        let ramp_part = (transition.ramp.ramp_s() / RAMP_PARTS).max(SHORTEST_S);
        let longest_s = if moving { longest_s.min(ramp_part) } else { longest_s };
        loop {
            let dt_s = transition.dt_s.min(longest_s);
            let (ramp, from_s) = (&transition.ramp, transition.time_s);
            let set = |share: f64, now: &mut Settings| ramp.at(from_s + share * dt_s, now);
            let step = self.solver.advance_by(set, now, &self.instant, dt_s)?;
            let scale = largest_flow(&step.end).max(largest_flow(&self.instant)).max(STILL_M3_S);
            let error = step.error(rate, dt_s) / scale;
            // The error grows with the cube of the step.
            let change = CAREFUL * (TOLERANCE / error.max(f64::MIN_POSITIVE)).cbrt();
            let change = change.clamp(SHRINKS, GROWS);
            if error <= TOLERANCE || dt_s <= SHORTEST_S {
                // A step that something else has cut short is no measure for the next.
                let kept_s = if change > 1.0 { transition.dt_s } else { 0.0 };
                transition.dt_s = (dt_s * change).max(kept_s).max(SHORTEST_S);
                return Ok((dt_s, step));
            }
            transition.dt_s = (dt_s * change).max(SHORTEST_S);
        }
    }
}

impl Transition {
    /// How long until a part starts or stops to move, s.
    pub(super) fn next_corner_s(&self) -> f64 {
        self.ramp.next_corner_s(self.time_s) - self.time_s
    }

    /// Writes where everything is `dt_s` from now.
    pub(super) fn settings_after(&self, dt_s: f64, now: &mut Option<Settings>) {
        let now = now.get_or_insert_with(|| self.ramp.end().clone());
        self.ramp.at(self.time_s + dt_s, now);
    }
}

/// Largest difference of any flow over the largest flow of either.
pub(super) fn largest_difference(a: &FlowState, b: &FlowState) -> f64 {
    let pairs = a.flow_m3_s.iter().zip(&b.flow_m3_s);
    let pairs = pairs.chain(a.tip_flow_m3_s.iter().zip(&b.tip_flow_m3_s));
    let most = pairs.fold(0.0f64, |most, (x, y)| most.max((x - y).abs()));
    let scale = largest_flow(a).max(largest_flow(b));
    if scale > STILL_M3_S { most / scale } else { 0.0 }
}

/// Largest flow of any branch or tip, m3/s.
pub(super) fn largest_flow(instant: &FlowState) -> f64 {
    let flows = instant.flow_m3_s.iter().chain(&instant.tip_flow_m3_s);
    flows.fold(0.0f64, |most, flow| most.max(flow.abs()))
}
