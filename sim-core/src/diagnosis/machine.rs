//! A machine with faults of given severities, and what readings it would give.

use super::catalogue::uncaught;
use super::fault::{Fault, FaultKind, Spot};
use super::model::Unreal;
use crate::hydraulics::{FlowState, Notice, Solver};
use crate::plumbing::{
    Branch, BranchId, CheckValve, NodeId, Part, Plumbing, Pump, Restriction, ShutOff, Side, TipId,
    Valve,
};
use crate::procedure::{Actuator, Control, Held};
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
    plumbing: Cow<'a, Plumbing>,
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
        Self {
            scenario,
            plumbing: Cow::Borrowed(&scenario.machine.plumbing),
            own_gauge: vec![1.0; scenario.machine.plumbing.gauges.len()],
            test_gauge: 1.0,
            meters: Vec::new(),
            flows_differ: false,
        }
    }

    /// The machine with `faults` of their severities; `caught` are the tips with a catch test, and what `states`
    /// hold says whether a gauge that reads off changes more than its readings.
    pub(super) fn with(
        scenario: &'a Scenario,
        faults: &[(Fault, f64)],
        caught: &[TipId],
        states: &[State],
    ) -> Self {
        let mut machine = Self::healthy(scenario);
        for (fault, severity) in faults {
            machine.add(*fault, *severity, caught, states);
        }
        machine
    }

    fn add(&mut self, fault: Fault, severity: f64, caught: &[TipId], states: &[State]) {
        match fault.spot {
            Spot::Gauge(i) => {
                self.own_gauge[i.index()] *= severity;
                let node = self.scenario.machine.plumbing.gauges[i.index()].node;
                let held =
                    |c: &Control| matches!(c.held, Held::Pressure { node: n, .. } if n == node);
                self.flows_differ |= states.iter().any(|state| state.controls.iter().any(held));
            }
            Spot::TestGauge => self.test_gauge *= severity,
            Spot::Branch(id) if fault.kind == FaultKind::MeterOff => {
                self.meters.push((id, severity));
                let held = |c: &Control| matches!(c.held, Held::Flow { .. });
                self.flows_differ |= states.iter().any(|state| state.controls.iter().any(held));
            }
            spot => {
                self.flows_differ = true;
                change(self.plumbing.to_mut(), fault.kind, spot, severity, caught);
            }
        }
    }

    /// Pressures and flows in each of `states`.
    pub(super) fn run(&self, states: &[State]) -> Result<Vec<FlowState>, Unreal> {
        let mut solver =
            Solver::new(&self.plumbing, &self.scenario.course.liquid, self.scenario.course.model);
        states.iter().map(|state| self.run_one(&mut solver, state)).collect()
    }

    fn run_one(&self, solver: &mut Solver<'_>, state: &State) -> Result<FlowState, Unreal> {
        let branches = self.plumbing.branches.len();
        let controls: Vec<Control> = state.controls.iter().map(|c| self.truly_held(c)).collect();
        let mut settings = Cow::Borrowed(&state.settings);
        if settings.opening.len() != branches {
            settings.to_mut().opening.resize(branches, 1.0);
            settings.to_mut().speed.resize(branches, 0.0);
        }
        let instant = solver.solve(&settings, &controls)?;
        // Full lines are all the model knows: a machine whose suction would boil reads something else.
        let boils = |notice: &Notice| matches!(notice, Notice::BelowVapourPressure(_));
        if instant.notices.iter().any(boils) { Err(Unreal::Boils) } else { Ok(instant) }
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

/// Puts a fault of `kind` into `plumbing`.
fn change(plumbing: &mut Plumbing, kind: FaultKind, spot: Spot, severity: f64, caught: &[TipId]) {
    match spot {
        Spot::Branch(id) if kind == FaultKind::ValvePasses => add_leak(plumbing, id, severity),
        Spot::Branch(id) => change_part(&mut plumbing.branches[id.index()].part, kind, severity),
        Spot::Tip(id) => change_tip(plumbing, id, kind, severity),
        Spot::Section(id) if kind == FaultKind::TipUncaught => {
            if let Some(tip) = uncaught(id, plumbing, caught) {
                change_tip(plumbing, tip, kind, severity);
            }
        }
        Spot::Section(id) => {
            let tips = plumbing.tips.iter_mut().filter(|tip| tip.section == Some(id));
            tips.for_each(|tip| tip.rated_flow_m3_s *= 1.0 + severity);
        }
        Spot::Boom => {
            plumbing.tips.iter_mut().for_each(|tip| tip.rated_flow_m3_s *= 1.0 + severity)
        }
        Spot::Gauge(_) | Spot::TestGauge => {}
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

fn change_tip(plumbing: &mut Plumbing, id: TipId, kind: FaultKind, severity: f64) {
    let tip = &mut plumbing.tips[id.index()];
    match kind {
        FaultKind::TipStrainerMissing => {
            let left = (1.0 - STRAINER_SHARE).sqrt();
            tip.body_kv_si = tip.body_kv_si.map(|kv| kv / left);
        }
        FaultKind::CheckStuck => {
            tip.rated_flow_m3_s *= STUCK;
            tip.shut_off = ShutOff::Each;
        }
        _ => tip.rated_flow_m3_s *= severity,
    }
}

/// A way past a closed valve, as a fixed restriction beside it.
fn add_leak(plumbing: &mut Plumbing, id: BranchId, share: f64) {
    let branch = &plumbing.branches[id.index()];
    let (Part::Valve(Valve { kv_si, .. }) | Part::CheckValve(CheckValve { kv_si, .. })) =
        &branch.part
    else {
        return;
    };
    let leak = Branch {
        name: format!("past {}", branch.name),
        from: branch.from,
        to: branch.to,
        part: Part::Strainer(Restriction { kv_si: kv_si * share }),
        side: Side::Tank,
        section: None,
    };
    plumbing.branches.push(leak);
}
