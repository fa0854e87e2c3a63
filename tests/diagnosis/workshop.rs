//! Machines broken by hand: their plumbing is edited and the network solved, apart from the code that diagnoses.

use sim_core::diagnosis::{Fault, FaultKind, Spot};
use sim_core::hydraulics::{FlowState, Notice, Solver};
use sim_core::plumbing::{
    Branch, BranchId, NodeId, Part, Plumbing, ShutOff, Side, Tip, TipId, Valve,
};
use sim_core::procedure::{Actuator, Control, Held, Settings};
use sim_core::scenario::{ReadingPlace, Readings, Scenario, State};

/// A machine as it is, and its instruments.
#[derive(Clone)]
pub(crate) struct Real {
    pub(crate) scenario: Scenario,
    /// Reading over truth of its gauges, of the test gauge, of its flow meters.
    pub(crate) own_gauge: Vec<f64>,
    pub(crate) test_gauge: f64,
    meters: Vec<(BranchId, f64)>,
    /// Least opening of valves that do not close.
    opening: Vec<(BranchId, f64)>,
    /// Tips that run whatever is commanded.
    running: Vec<TipId>,
}

impl Real {
    /// The machine of `scenario` without fault.
    pub(crate) fn healthy(scenario: &Scenario) -> Self {
        Self {
            own_gauge: vec![1.0; scenario.machine.plumbing.gauges.len()],
            scenario: scenario.clone(),
            test_gauge: 1.0,
            meters: Vec::new(),
            opening: Vec::new(),
            running: Vec::new(),
        }
    }

    fn plumbing(&mut self) -> &mut Plumbing {
        &mut self.scenario.machine.plumbing
    }

    /// The same with `faults`.
    pub(crate) fn with(mut self, faults: &[(Fault, f64)]) -> Self {
        faults.iter().for_each(|(fault, severity)| self.break_it(*fault, *severity));
        self
    }

    fn break_it(&mut self, fault: Fault, severity: f64) {
        match fault.spot {
            Spot::Branch(id) => self.break_branch(id, fault.kind, severity),
            Spot::Tip(tip) => self.break_tip(tip, fault.kind, severity),
            Spot::Section(section) => {
                let clogged = fault.kind == FaultKind::SectionClogged;
                let wear = if clogged { -severity } else { severity };
                let tips = self.plumbing().tips.iter_mut();
                tips.filter(|tip| tip.section == Some(section)).for_each(|tip| wear_out(tip, wear));
            }
            Spot::Boom => {
                let clogged = fault.kind == FaultKind::BoomClogged;
                let wear = if clogged { -severity } else { severity };
                self.plumbing().tips.iter_mut().for_each(|tip| wear_out(tip, wear));
            }
            Spot::Gauge(gauge) => self.own_gauge[gauge.index()] = severity,
            Spot::TestGauge => self.test_gauge = severity,
            Spot::Node(node) => self.leak(node, severity),
            Spot::Liquid => {
                let liquid = &mut self.scenario.course.liquid;
                match fault.kind {
                    FaultKind::LiquidDensity => liquid.density_kg_m3 *= severity,
                    _ => liquid.viscosity_pa_s *= severity,
                }
            }
        }
    }

    fn break_branch(&mut self, id: BranchId, kind: FaultKind, severity: f64) {
        let branch = &mut self.scenario.machine.plumbing.branches[id.index()];
        match (&mut branch.part, kind) {
            (_, FaultKind::MeterOff) => self.meters.push((id, severity)),
            (Part::Valve(_), FaultKind::ValvePasses) => self.opening.push((id, severity)),
            (Part::CheckValve(check), FaultKind::ValvePasses) => {
                let kv_si = check.kv_si * severity;
                self.bypass(id, kv_si);
            }
            (Part::CheckValve(check), FaultKind::CheckStuckOpen) => {
                let kv_si = check.kv_si;
                self.bypass(id, kv_si);
            }
            (Part::CheckValve(check), _) => check.kv_si *= 1e-3,
            (Part::Valve(valve), _) => valve.kv_si *= (1.0 + severity).powf(-0.5),
            (Part::Strainer(strainer), _) => strainer.kv_si *= (1.0 + severity).powf(-0.5),
            (Part::Line(line), FaultKind::HoseOtherBore) => line.bore_m *= severity,
            (Part::Line(line), _) => line.losses += severity,
            (Part::Pump(pump), _) => {
                let left = 1.0 - severity;
                let (flow, head) = match kind {
                    FaultKind::PumpSlow => (left, left * left),
                    FaultKind::PumpWorn => (left, 1.0),
                    _ => (left, left),
                };
                pump.curve.flow_m3_s.iter_mut().for_each(|q| *q *= flow);
                pump.curve.head_m.iter_mut().for_each(|h| *h *= head);
            }
            (Part::Meter(_) | Part::Orifice(_), _) => {}
        }
    }

    fn break_tip(&mut self, id: TipId, kind: FaultKind, severity: f64) {
        let tip = &mut self.scenario.machine.plumbing.tips[id.index()];
        match kind {
            FaultKind::TipStrainerMissing => {
                tip.body_kv_si = tip.body_kv_si.map(|kv| kv * 2f64.sqrt());
            }
            FaultKind::CheckStuck => (tip.shut_off, tip.wear) = (ShutOff::Each, -0.999),
            FaultKind::CheckStuckOpen => {
                tip.shut_off = ShutOff::Open;
                self.running.push(id);
            }
            _ => tip.rated_flow_m3_s *= severity,
        }
    }

    /// A pipe beside branch `id`.
    fn bypass(&mut self, id: BranchId, kv_si: f64) {
        let beside = self.scenario.machine.plumbing.branch(id).clone();
        let name = format!("beside {}", beside.name);
        let part = Part::Valve(Valve::plain(kv_si));
        let branch = Branch { name, part, side: Side::Other, section: None, ..beside };
        self.plumbing().branches.push(branch);
    }

    /// A hole at `node` that passes `share` of what all tips pass at equal pressure.
    fn leak(&mut self, node: NodeId, share: f64) {
        let at_3_bar = |tip: &Tip| tip.rated_flow_m3_s * (3e5 / tip.rated_at_pa).sqrt();
        let tips = &self.scenario.machine.plumbing.tips;
        let all: f64 = tips.iter().map(at_3_bar).sum();
        let hole = Tip {
            name: "hole".into(),
            node,
            section: None,
            rated_flow_m3_s: all * share,
            rated_at_pa: 3e5,
            body_kv_si: None,
            shut_off: ShutOff::Open,
            ..tips[0].clone()
        };
        self.running.push(TipId::at(tips.len()));
        self.plumbing().tips.push(hole);
    }

    /// `asked` with what is read at this machine; `None` where its suction would boil or it has no state of flow.
    pub(crate) fn read(&self, asked: &Readings) -> Option<Readings> {
        let mut given = asked.clone();
        for state in &mut given.states {
            let instant = self.solve(state)?;
            let as_set = state.clone();
            for reading in &mut state.readings {
                reading.value = self.value(reading.place, &instant, &as_set);
            }
        }
        Some(given)
    }

    fn solve(&self, state: &State) -> Option<FlowState> {
        let plumbing = &self.scenario.machine.plumbing;
        let mut settings = Settings::of(plumbing);
        let known = state.settings.opening.len();
        settings.opening[..known].copy_from_slice(&state.settings.opening);
        settings.speed[..known].copy_from_slice(&state.settings.speed);
        let tips = state.settings.tip_opening.len();
        settings.tip_opening[..tips].copy_from_slice(&state.settings.tip_opening);
        self.running.iter().for_each(|tip| settings.tip_opening[tip.index()] = 1.0);
        for (id, least) in &self.opening {
            settings.opening[id.index()] = settings.opening[id.index()].max(*least);
        }
        let controls: Vec<Control> = state.controls.iter().map(|c| self.really(c)).collect();
        let liquid = &self.scenario.course.liquid;
        let mut solver = Solver::new(plumbing, liquid, self.scenario.course.model);
        let instant = solver.solve(&settings, &controls).ok()?;
        let boils = |notice: &Notice| matches!(notice, Notice::BelowVapourPressure(_));
        (!instant.notices.iter().any(boils)).then_some(instant)
    }

    /// What a control holds in truth.
    fn really(&self, control: &Control) -> Control {
        let mut control = *control;
        let gauges = self.scenario.machine.plumbing.gauges.iter().zip(&self.own_gauge);
        match &mut control.held {
            Held::Pressure { node, pa } => {
                let off = gauges.filter(|(gauge, _)| gauge.node == *node).map(|(_, off)| off);
                *pa /= off.product::<f64>();
            }
            Held::Flow { m3_s, .. } => {
                *m3_s /= self.meters.iter().map(|(_, off)| off).product::<f64>();
            }
        }
        control
    }

    fn value(&self, place: ReadingPlace, instant: &FlowState, state: &State) -> f64 {
        let gauges = &self.scenario.machine.plumbing.gauges;
        match place {
            ReadingPlace::OwnGauge(i) => {
                let node = gauges[i.index()].node;
                self.own_gauge[i.index()] * instant.static_pressure_pa[node.index()]
            }
            ReadingPlace::TestGauge(node) => {
                self.test_gauge * instant.static_pressure_pa[node.index()]
            }
            ReadingPlace::Catch(tip) => instant.tip_flow_m3_s[tip.index()],
            ReadingPlace::Meter(id) => {
                let off = self.meters.iter().find(|(meter, _)| *meter == id).map_or(1.0, |m| m.1);
                off * instant.flow_m3_s[id.index()]
            }
            ReadingPlace::Speed(id) => {
                let mut moved = state.controls.iter().zip(&instant.actuator);
                let moved = moved.find(|(control, _)| control.by == Actuator::PumpSpeed(id));
                moved.map_or(state.settings.speed[id.index()], |(_, actuated)| actuated.value)
            }
        }
    }
}

/// Adds `wear` to what a tip is worn already.
fn wear_out(tip: &mut Tip, wear: f64) {
    tip.wear = (1.0 + tip.wear) * (1.0 + wear) - 1.0;
}
