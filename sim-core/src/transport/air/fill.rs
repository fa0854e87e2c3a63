//! What the flow needs to know of the contents, and what it may do to them in one step.

use super::super::content::Content;
use super::super::state::Contents;
use super::agreement::Bracket;
use super::line::AirLine;
use crate::air::density;
use crate::fluids::GRAVITY_M_S2;
use crate::hydraulics::{
    BranchFilling, Fillings, FlowState, InletLaw, Lift, PocketLaw, STILL_M3_S, SpringLaw, Store,
};
use crate::plumbing::NodeId;
use crate::two_phase::{Regime, butterworth_parameter, gas_multiplier, left_behind};

/// Speed at which pressure waves run in lines that yield as hose does, m/s (from memory: rubber hose 300 to
/// 600); liquid and lines yield by the density times its square.
const WAVE_M_S: f64 = 500.0;
/// Velocity of air from which all of the liquid in a rising line weighs on it, m/s.
const WHOLE_WEIGHT_FROM_M_S: f64 = 0.05;
/// Liquid that any node holds beside that of its lines, m3.
const NODE_LIQUID_M3: f64 = 1e-5;
/// Share up to which the liquid that a part passes may differ from what its resistance counts, and a flow of it that does
/// not matter, m3/s.
const AGREES: f64 = 0.1;
const HARDLY_M3_S: f64 = 1e-5;
/// Holdup from which a layer makes air flow harder.
const LAYER_COUNTS: f64 = 0.002;
/// Highest holdup whose effect on the air is reported by the law; beyond it, it stays as it is.
const MOST_HOLDUP: f64 = 0.8;

impl Contents<'_> {
    /// Writes into `fillings` what every branch and node holds for a step of `dt_s`; `inlet` is the node where
    /// compressed air comes in. `before` tells which way parts were passed.
    pub(crate) fn describe(
        &self,
        before: &FlowState,
        inlet: Option<NodeId>,
        dt_s: f64,
        fillings: &mut Fillings,
    ) {
        fillings.branches.clear();
        fillings.branches.extend((0..self.held.len()).map(|i| self.filling(i)));
        self.describe_mixtures(before, dt_s, fillings);
        fillings.air_at.clone_from(&self.air.at);
        fillings.stores.clear();
        fillings.stores.extend(self.plumbing.nodes.iter().enumerate().map(|(node, at)| {
            let holds_air = self.air.at[node] || inlet.is_some_and(|inlet| inlet.index() == node);
            at.tank.is_none().then(|| self.store(node, holds_air, dt_s))
        }));
        let law = self.air.supply.as_ref().map(|supply| InletLaw {
            upstream: supply.upstream(),
            valve: supply.valve,
            most_m3_s: supply.most_m3_s(),
        });
        fillings.inlet = inlet.zip(law);
    }

    fn store(&self, node: usize, holds_air: bool, dt_s: f64) -> Store {
        let start = self.air.pressure[node];
        if holds_air {
            return Store::Air(PocketLaw { volume_m3: self.node_air_m3(node), start, dt_s });
        }
        let half = |i: &usize| {
            self.plumbing.branches[*i].part.line().map_or(0.0, |line| 0.5 * line.volume_m3())
        };
        // A node without air has no pocket to take up a mismatch of columns: the liquid and hose walls around it yield as
        // a spring does, which keeps the system from being singular where two columns meet.
        let volume = NODE_LIQUID_M3 + self.arms[node].iter().map(half).sum::<f64>();
        let stiffness = self.liquid.density_kg_m3 * WAVE_M_S * WAVE_M_S / volume;
        Store::Liquid(SpringLaw {
            start: start.gauge(),
            slope: stiffness * dt_s,
            vapour: self.liquid.vapour_pressure.gauge(),
        })
    }

    /// Finds the liquid that parts without volume pass beside air at the flows of `before`, from what reaches the nodes ahead of
    /// them.
    fn describe_mixtures(&self, before: &FlowState, dt_s: f64, fillings: &mut Fillings) {
        let branches = &mut fillings.branches;
        self.pass_liquid(before, dt_s, &mut fillings.arriving_m3_s, |node, i, liquid_m3_s| {
            let air_kg_m3 = density(self.air.pressure[node]);
            branches[i] = BranchFilling::Mixture { liquid_m3_s, air_kg_m3 };
        });
    }

    /// Brings the liquid that parts pass beside air nearer to what it is at the flows of `instant`, if one passes much more or
    /// less than `fillings` say; returns whether one does.
    pub(crate) fn bring_nearer(
        &self,
        instant: &FlowState,
        dt_s: f64,
        fillings: &mut Fillings,
        brackets: &mut Vec<Bracket>,
    ) -> bool {
        brackets.resize(self.held.len(), Bracket::default());
        let (branches, mut off) = (&mut fillings.branches, false);
        self.pass_liquid(instant, dt_s, &mut fillings.arriving_m3_s, |_, i, found_m3_s| {
            if let BranchFilling::Mixture { liquid_m3_s, .. } = &mut branches[i] {
                // Of what flows, no more is liquid than all.
                let flow_m3_s = instant.flow_m3_s[i].abs();
                let (counted, found) = (liquid_m3_s.min(flow_m3_s), found_m3_s.min(flow_m3_s));
                let differs = (found - counted).abs() > AGREES * counted.max(found) + HARDLY_M3_S;
                let next_m3_s = brackets[i].next(counted, found);
                if !brackets[i].is_within(AGREES, HARDLY_M3_S) {
                    off |= differs;
                    *liquid_m3_s = next_m3_s;
                }
            }
        });
        off
    }

    /// Finds the liquid that reaches each node with a part at the flows of `instant`, m3/s, and calls `pass` with node, part and flow of
    /// liquid for each part that passes it beside air.
    pub(super) fn pass_liquid(
        &self,
        instant: &FlowState,
        dt_s: f64,
        arriving: &mut Vec<f64>,
        mut pass: impl FnMut(usize, usize, f64),
    ) {
        arriving.clear();
        arriving.extend(self.air.waiting.iter().map(|waits| waits.liquid_m3.max(0.0) / dt_s));
        for i in 0..self.held.len() {
            let flow = instant.flow_m3_s[i];
            let branch = &self.plumbing.branches[i];
            let outlet = if flow >= 0.0 { branch.to } else { branch.from };
            // What lines pass on to lines is nobody's question here.
            if self.air.beside_part[outlet.index()] {
                arriving[outlet.index()] += self.liquid_out_m3_s(i, flow, dt_s);
            }
        }
        for &node in &self.order.nodes {
            let asked = self.asked_m3_s(node, instant);
            for &i in &self.arms[node] {
                let flow = self.away_m3_s(i, node, instant);
                if flow <= STILL_M3_S || !matches!(self.held[i], Content::Nothing) {
                    continue;
                }
                let mut liquid_m3_s = flow;
                if self.air.at[node] {
                    liquid_m3_s = arriving[node] * flow / asked;
                    pass(node, i, liquid_m3_s);
                }
                let branch = &self.plumbing.branches[i];
                let next = if branch.from.index() == node { branch.to } else { branch.from };
                arriving[next.index()] += liquid_m3_s;
            }
        }
    }

    /// Flow that leaves `node` at the flows of `instant`, m3/s.
    pub(super) fn asked_m3_s(&self, node: usize, instant: &FlowState) -> f64 {
        let away = |i: &usize| self.away_m3_s(*i, node, instant).max(0.0);
        let tips = self.tips_at[node].iter().map(|tip| instant.tip_flow_m3_s[*tip].max(0.0));
        self.arms[node].iter().map(away).sum::<f64>() + tips.sum::<f64>()
    }

    /// Flow of liquid out of line `i` at a flow of `flow_m3_s`, m3/s; 0 for parts that hold none.
    fn liquid_out_m3_s(&self, i: usize, flow_m3_s: f64, dt_s: f64) -> f64 {
        let outlet = usize::from(flow_m3_s >= 0.0);
        match &self.held[i] {
            Content::Tubes(_) | Content::Leg(_) => flow_m3_s.abs(),
            Content::Air(line) if line.layered => {
                let leaves_m3_s = self.layer_leaves_m3_s(i, line, flow_m3_s);
                leaves_m3_s.min(line.liquid_m3() / dt_s)
            }
            Content::Air(line) if !line.layered && line.gap_m3[outlet] <= 0.0 => flow_m3_s.abs(),
            Content::Air(_) | Content::Nothing => 0.0,
        }
    }

    /// What branch `i` is to flow, but for mixtures that pass it.
    fn filling(&self, i: usize) -> BranchFilling {
        match &self.held[i] {
            Content::Tubes(_) | Content::Leg(_) | Content::Nothing => BranchFilling::Liquid,
            Content::Air(line) if !line.layered => {
                let (length_m, rise_m) = line.column();
                BranchFilling::Column { length_m, rise_m }
            }
            Content::Air(line) => {
                // The layer narrows the bore for the air: the whole line by its mean, since one gradient serves it.
                let holdup = line.holdup().min(MOST_HOLDUP);
                let density_kg_m3 = density(self.mean_pressure(i));
                let multiplier = if !self.options.slip {
                    // Friction of a homogeneous mixture goes by its own density.
                    1.0 + holdup * (self.liquid.density_kg_m3 / density_kg_m3 - 1.0)
                } else if holdup > LAYER_COUNTS {
                    gas_multiplier(butterworth_parameter(holdup), Regime::LaminarLiquid)
                } else {
                    1.0
                };
                BranchFilling::Air { density_kg_m3, multiplier, lift: self.lift(line) }
            }
        }
    }

    /// What the layer of `line` weighs on air that rises through it.
    fn lift(&self, line: &AirLine) -> Lift {
        let weight_pa = line.lifted_m().map(|m| self.liquid.density_kg_m3 * GRAVITY_M_S2 * m);
        Lift { weight_pa, whole_from_m3_s: WHOLE_WEIGHT_FROM_M_S * line.area_m2 }
    }

    /// How long until a front reaches the end of its line at the flows of `instant`, s, or something else
    /// changes by so much that flows must be found anew.
    pub(crate) fn until_front_s(&self, instant: &FlowState) -> f64 {
        let mut soonest = f64::INFINITY;
        for (i, line) in self.columns() {
            let flow = instant.flow_m3_s[i];
            let (inlet, outlet) = if flow >= 0.0 { (0, 1) } else { (1, 0) };
            let flow = flow.abs();
            if flow <= STILL_M3_S {
                continue;
            }
            // A column ahead of which air lies arrives when that gap is closed; one that touches its outlet is gone when
            // all but what its nose leaves has passed.
            if line.gap_m3[outlet] > 0.0 {
                soonest = soonest.min(line.free_m3(outlet) / flow);
            } else if self.has_air_at_end(i, inlet) {
                let nose = self.nose(line, flow, inlet);
                soonest = soonest.min(line.column_m3 * (1.0 - nose) / flow);
            }
        }
        soonest
    }

    /// Lines with a column that air is at, or may come to.
    fn columns(&self) -> impl Iterator<Item = (usize, &AirLine)> {
        let lines = self.held.iter().enumerate().filter_map(|(i, held)| Some((i, held.air()?)));
        lines.filter(|(_, line)| !line.layered)
    }

    /// Whether the node at `end` of branch `i` holds air.
    pub(super) fn has_air_at_end(&self, i: usize, end: usize) -> bool {
        let branch = &self.plumbing.branches[i];
        let node = if end == 0 { branch.from } else { branch.to };
        self.air.at[node.index()]
    }

    /// Share of the bore that the front of air entering `line` at `inlet` leaves as liquid.
    pub(super) fn nose(&self, line: &AirLine, flow_m3_s: f64, inlet: usize) -> f64 {
        // Nothing stays where air runs no faster than liquid.
        if !self.options.holdup || !self.options.slip {
            return 0.0;
        }
        if let Some(ratio) = self.options.fixed_front {
            return 1.0 - 1.0 / ratio;
        }
        let flux = flow_m3_s.abs() / line.area_m2;
        let slope = line.slope_at_gap(inlet);
        left_behind(flux, line.bore_m, slope, &self.liquid).left_behind
    }
}
