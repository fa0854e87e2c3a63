//! A machine with faults of given severities, and what readings it would give.

use super::catalogue::uncaught;
use super::extended::{extended, leak_tip, way_past};
use super::fault::{Fault, FaultKind, Spot};
use super::model::Unreal;
use crate::fluids::Liquid;
use crate::hydraulics::{FlowState, Notice, STILL_M3_S, Solver};
use crate::plumbing::{
    BranchId, CheckValve, GaugeId, NodeId, Part, Plumbing, Pump, Restriction, SectionId, ShutOff,
    Tip, TipId, Valve,
};
use crate::procedure::{Actuator, Control, Held, Settings};
use crate::scenario::{ReadingPlace, Scenario, State};
use std::borrow::Cow;

/// Share of the loss of nozzle body and tip strainer that is the strainer's: common practice, no source.
const STRAINER_SHARE: f64 = 0.5;
/// Flow that a part stuck closed still passes, as a share of its own.
const STUCK: f64 = 1e-3;

/// A machine and its instruments, faulty or not.
#[derive(Clone, Debug)]
pub(super) struct InstrumentedMachine<'a> {
    scenario: &'a Scenario,
    /// Its plumbing with the ways that faults may open.
    plumbing: Cow<'a, Plumbing>,
    liquid: Cow<'a, Liquid>,
    /// Branches and tips that are open whatever is set.
    open: (Vec<BranchId>, Vec<TipId>),
    /// Reading over truth of each of its gauges.
    own_gauge: Vec<f64>,
    /// The same of the test gauge.
    test_gauge: f64,
    /// The same of flow meters.
    meters: Vec<(BranchId, f64)>,
    /// Whether pressures and flows differ from those of the healthy machine.
    pub(super) flows_differ: bool,
}

impl<'a> InstrumentedMachine<'a> {
    /// The healthy machine.
    pub(super) fn healthy(scenario: &'a Scenario) -> Self {
        Self::on(scenario, Cow::Owned(extended(&scenario.machine.plumbing)))
    }

    /// The healthy machine of `scenario`, whose plumbing is extended to `plumbing`.
    pub(super) fn on(scenario: &'a Scenario, plumbing: Cow<'a, Plumbing>) -> Self {
        Self {
            scenario,
            plumbing,
            liquid: Cow::Borrowed(&scenario.course.liquid),
            open: (Vec::new(), Vec::new()),
            own_gauge: vec![1.0; scenario.machine.plumbing.gauges.len()],
            test_gauge: 1.0,
            meters: Vec::new(),
            flows_differ: false,
        }
    }

    /// The machine with `faults` of their severities; `caught` are the tips with a catch test, and what `states`
    /// hold says whether a gauge that reads off changes more than its readings.
    pub(super) fn with(
        mut self,
        faults: &[(Fault, f64)],
        caught: &[TipId],
        states: &[State],
    ) -> Self {
        for (fault, severity) in faults {
            self.add(*fault, *severity, caught, states);
        }
        self
    }

    fn add(&mut self, fault: Fault, severity: f64, caught: &[TipId], states: &[State]) {
        match fault.spot {
            Spot::Gauge(i) => {
                self.own_gauge[i.index()] *= severity;
                let node = self.scenario.machine.plumbing.gauges[i.index()].node;
                let held =
                    |c: &Control| matches!(c.held, Held::Pressure { node: n, .. } if n == node);
                self.flows_differ |= states.iter().any(|state| state.controls.iter().any(held));
                return;
            }
            Spot::TestGauge => {
                self.test_gauge *= severity;
                return;
            }
            Spot::Branch(id) if fault.kind == FaultKind::MeterOff => {
                self.meters.push((id, severity));
                let held = |c: &Control| matches!(c.held, Held::Flow { .. });
                self.flows_differ |= states.iter().any(|state| state.controls.iter().any(held));
                return;
            }
            Spot::Liquid => self.change_liquid(fault.kind, severity),
            Spot::Branch(id) if opens_a_way(fault.kind) => self.open_past(id, severity),
            Spot::Node(node) => self.open_leak(node, severity),
            spot => {
                let own = &self.scenario.machine.plumbing;
                if let (FaultKind::CheckStuckOpen, Spot::Tip(tip)) = (fault.kind, spot) {
                    self.open.1.push(tip);
                }
                change(self.plumbing.to_mut(), own, fault.kind, spot, severity, caught);
            }
        }
        self.flows_differ = true;
    }

    fn change_liquid(&mut self, kind: FaultKind, severity: f64) {
        let liquid = self.liquid.to_mut();
        if kind == FaultKind::LiquidDensity {
            liquid.density_kg_m3 *= severity;
        } else {
            liquid.viscosity_pa_s *= severity;
        }
    }

    /// Opens a way past branch `id` of `share` of its flow coefficient.
    fn open_past(&mut self, id: BranchId, share: f64) {
        let Some(past) = way_past(&self.scenario.machine.plumbing, id) else { return };
        if let Part::Valve(valve) = &mut self.plumbing.to_mut().branches[past.index()].part {
            valve.kv_si *= share;
        }
        self.open.0.push(past);
    }

    /// Opens a leak at `node` that passes `share` of the flow of all tips at equal pressure.
    fn open_leak(&mut self, node: NodeId, share: f64) {
        let Some(tip) = leak_tip(&self.scenario.machine.plumbing, node) else { return };
        self.plumbing.to_mut().tips[tip.index()].rated_flow_m3_s *= share;
        self.open.1.push(tip);
    }

    /// A solver for this machine.
    pub(super) fn solver(&self) -> Solver<'_> {
        Solver::new(&self.plumbing, &self.liquid, self.scenario.course.model)
    }

    /// Pressures and flows in each of `states`.
    pub(super) fn run(&self, states: &[State]) -> Result<Vec<FlowState>, Unreal> {
        let mut solver = self.solver();
        states.iter().map(|state| self.run_one(&mut solver, state)).collect()
    }

    /// The same from the solvers `near` of the `healthy` machine, one a state, where only the states that `faults` change are
    /// solved.
    pub(super) fn run_changed(
        &self,
        faults: &[Fault],
        healthy: &[FlowState],
        near: &[Solver<'_>],
        states: &[State],
    ) -> Result<Vec<FlowState>, Unreal> {
        let one = |((instant, solver), state): ((&FlowState, &Solver<'_>), &State)| {
            if faults.iter().any(|fault| self.changes(*fault, instant)) {
                self.run_one(&mut solver.near(&self.plumbing, &self.liquid), state)
            } else {
                Ok(instant.clone())
            }
        };
        healthy.iter().zip(near).zip(states).map(one).collect()
    }

    /// Whether `fault` can change the state of flow `healthy`: a line or part that nothing passes may be as narrow as it likes,
    /// and so may tips that are closed.
    fn changes(&self, fault: Fault, healthy: &FlowState) -> bool {
        use FaultKind as K;
        let narrows = matches!(
            fault.kind,
            K::HoseKinked
                | K::HoseOtherBore
                | K::ValvePartOpen
                | K::StrainerPlugged
                | K::TubeBlocked
        );
        let opens = fault.kind == K::CheckStuckOpen;
        let own = &self.scenario.machine.plumbing.tips;
        let sprays = |section: Option<SectionId>| {
            let mut tips = own.iter().zip(&healthy.tip_flow_m3_s);
            tips.any(|(tip, flow)| *flow > 0.0 && (section.is_none() || tip.section == section))
        };
        match fault.spot {
            Spot::Branch(id) if narrows => healthy.flow_m3_s[id.index()].abs() > STILL_M3_S,
            Spot::Boom => sprays(None),
            Spot::Section(section) => sprays(Some(section)),
            Spot::Tip(tip) => opens || healthy.tip_flow_m3_s[tip.index()] > 0.0,
            _ => true,
        }
    }

    /// Pressures and flows in `state`, solved by `solver`.
    pub(super) fn run_one(
        &self,
        solver: &mut Solver<'_>,
        state: &State,
    ) -> Result<FlowState, Unreal> {
        let controls: Vec<Control> = state.controls.iter().map(|c| self.truly_held(c)).collect();
        let instant = solver.solve(&self.settings(state), &controls)?;
        // Full lines are all the model knows: a machine whose suction would boil reads something else.
        let boils = |notice: &Notice| matches!(notice, Notice::BelowVapourPressure(_));
        if instant.notices.iter().any(boils) { Err(Unreal::Boils) } else { Ok(instant) }
    }

    /// What is set in `state`, and what a fault keeps open.
    fn settings(&self, state: &State) -> Settings {
        let mut settings = state.settings.clone();
        settings.opening.resize(self.plumbing.branches.len(), 0.0);
        settings.speed.resize(self.plumbing.branches.len(), 0.0);
        settings.tip_opening.resize(self.plumbing.tips.len(), 0.0);
        self.open.0.iter().for_each(|id| settings.opening[id.index()] = 1.0);
        self.open.1.iter().for_each(|id| settings.tip_opening[id.index()] = 1.0);
        settings
    }

    /// What is really held where the gauge or meter that holds it reads off.
    fn truly_held(&self, control: &Control) -> Control {
        let mut control = *control;
        match &mut control.held {
            Held::Pressure { node, pa } => *pa /= self.gauge_factor_at(*node),
            Held::Flow { m3_s, .. } => {
                *m3_s /= self.meters.iter().map(|(_, factor)| factor).product::<f64>();
            }
        }
        control
    }

    fn gauge_factor_at(&self, node: NodeId) -> f64 {
        let gauges = self.scenario.machine.plumbing.gauges.iter().zip(&self.own_gauge);
        gauges.filter(|(gauge, _)| gauge.node == node).map(|(_, factor)| factor).product()
    }

    /// The places of its gauges.
    pub(super) fn own_gauges(&self) -> impl Iterator<Item = ReadingPlace> + use<> {
        (0..self.own_gauge.len()).map(|i| ReadingPlace::OwnGauge(GaugeId::at(i)))
    }

    /// What would be read at `place` while the machine stands as `instant` says in `state`.
    pub(super) fn reading(&self, place: ReadingPlace, instant: &FlowState, state: &State) -> f64 {
        let pressure = |node: NodeId| instant.static_pressure_pa[node.index()];
        match place {
            ReadingPlace::OwnGauge(i) => {
                self.own_gauge[i.index()]
                    * pressure(self.scenario.machine.plumbing.gauges[i.index()].node)
            }
            ReadingPlace::TestGauge(node) => self.test_gauge * pressure(node),
            ReadingPlace::Catch(tip) => instant.tip_flow_m3_s[tip.index()],
            ReadingPlace::Meter(id) => {
                let off = self.meters.iter().find(|(meter, _)| *meter == id);
                off.map_or(1.0, |(_, factor)| *factor) * instant.flow_m3_s[id.index()]
            }
            ReadingPlace::Speed(id) => {
                let mut controls = state.controls.iter().zip(&instant.actuator);
                let moved = controls.find(|(control, _)| control.by == Actuator::PumpSpeed(id));
                moved.map_or(state.settings.speed[id.index()], |(_, actuated)| actuated.value)
            }
        }
    }
}

/// Whether a fault of `kind` opens a way past a valve.
fn opens_a_way(kind: FaultKind) -> bool {
    matches!(kind, FaultKind::ValvePasses | FaultKind::CheckStuckOpen)
}

/// Puts a fault of `kind` into `plumbing`, whose first tips are those of the machine's `own`.
fn change(
    plumbing: &mut Plumbing,
    own: &Plumbing,
    kind: FaultKind,
    spot: Spot,
    severity: f64,
    caught: &[TipId],
) {
    let sign =
        if matches!(kind, FaultKind::SectionClogged | FaultKind::BoomClogged) { -1.0 } else { 1.0 };
    let factor = 1.0 + sign * severity;
    let tips = &mut plumbing.tips[..own.tips.len()];
    match spot {
        Spot::Branch(id) => change_part(&mut plumbing.branches[id.index()].part, kind, severity),
        Spot::Tip(id) => change_tip(&mut tips[id.index()], kind, severity),
        Spot::Section(id) if kind == FaultKind::TipUncaught => {
            if let Some(tip) = uncaught(id, own, caught) {
                change_tip(&mut tips[tip.index()], kind, severity);
            }
        }
        Spot::Section(id) => {
            let tips = tips.iter_mut().filter(|tip| tip.section == Some(id));
            tips.for_each(|tip| tip.rated_flow_m3_s *= factor);
        }
        Spot::Boom => tips.iter_mut().for_each(|tip| tip.rated_flow_m3_s *= factor),
        Spot::Gauge(_) | Spot::TestGauge | Spot::Node(_) | Spot::Liquid => {}
    }
}

fn change_part(part: &mut Part, kind: FaultKind, severity: f64) {
    match part {
        Part::Line(line) if kind == FaultKind::HoseOtherBore => line.bore_m *= severity,
        Part::Line(line) => line.losses += severity,
        // Resistance goes with the square of 1 / kv.
        Part::Valve(Valve { kv_si, .. }) | Part::Strainer(Restriction { kv_si }) => {
            *kv_si /= (1.0 + severity).sqrt();
        }
        Part::CheckValve(CheckValve { kv_si, .. }) => *kv_si *= STUCK,
        Part::Pump(pump) => slow_or_worn(pump, kind, severity),
        Part::Meter(_) | Part::Orifice(_) => {}
    }
}

/// Moves a pump's curve: with speed by the affinity laws; by wear, whose inner leak takes a share of the
/// delivery at any head; by air, whose share neither is delivered nor weighs in the head.
fn slow_or_worn(pump: &mut Pump, kind: FaultKind, share: f64) {
    let left = 1.0 - share;
    let (flow, head) = match kind {
        FaultKind::PumpSlow => (left, left * left),
        FaultKind::PumpWorn => (left, 1.0),
        _ => (left, left),
    };
    pump.curve.flow_m3_s.iter_mut().for_each(|q| *q *= flow);
    pump.curve.head_m.iter_mut().for_each(|h| *h *= head);
}

fn change_tip(tip: &mut Tip, kind: FaultKind, severity: f64) {
    match kind {
        FaultKind::TipStrainerMissing => {
            let left = (1.0 - STRAINER_SHARE).sqrt();
            tip.body_kv_si = tip.body_kv_si.map(|kv| kv / left);
        }
        FaultKind::CheckStuck => {
            tip.rated_flow_m3_s *= STUCK;
            tip.shut_off = ShutOff::Each;
        }
        FaultKind::CheckStuckOpen => tip.shut_off = ShutOff::Open,
        _ => tip.rated_flow_m3_s *= severity,
    }
}
