//! One move of lines that hold air: air comes in, liquid leaves and enters them, columns follow.

use super::super::content::Content;
use super::super::state::Contents;
use super::super::stream;
use super::super::tanks::Amount;
use super::line::{AirLine, LineChange};
use crate::air::{density, smooth_line_gradient};
use crate::hydraulics::{AirInflow, FlowState, STILL_M3_S};
use crate::plumbing::BranchId;
use crate::two_phase::{carried_share, critical_gas_flux};

/// Share of a line's room at a node that liquid may take up in a step.
const MOST_LAID: f64 = 0.9;
/// Share of liquid in a mixture up to which air counts as passing.
const NEARLY_LIQUID: f64 = 0.999;

impl Contents<'_> {
    /// Lets air into nodes and lines that the flow of `instant` carries it to, before anything moves.
    pub(in super::super) fn let_air_in(
        &mut self,
        instant: &FlowState,
        inflow: Option<AirInflow>,
        dt_s: f64,
    ) {
        self.air.happened = false;
        self.air.broken_through.clear();
        self.air.shifted.clear();
        self.air.let_in.fill(Amount::default());
        self.expect_shares(instant, dt_s);
        self.distribute_air(instant, inflow);
        self.open_lines(instant);
    }

    /// Finds the share of liquid in what will leave each node of a part that holds air: a column that has just left a line brings
    /// none any more.
    fn expect_shares(&mut self, instant: &FlowState, dt_s: f64) {
        let mut arriving = std::mem::take(&mut self.air.arriving_m3_s);
        self.pass_liquid(instant, dt_s, &mut arriving, |_, _, _| ());
        for (node, arriving_m3_s) in arriving.iter().enumerate() {
            if !self.air.at[node] || !self.air.beside_part[node] {
                continue;
            }
            let asked = self.asked_m3_s(node, instant);
            if asked > 0.0 {
                self.air.liquid_share[node] = (arriving_m3_s / asked).min(1.0);
            }
        }
        self.air.arriving_m3_s = arriving;
    }

    /// Flow of the layer out of line `i` at a flow of `flow_m3_s`, m3/s.
    pub(super) fn layer_leaves_m3_s(&self, i: usize, line: &AirLine, flow_m3_s: f64) -> f64 {
        if !line.slips {
            return line.holdup() * flow_m3_s.abs();
        }
        let air_kg_m3 = density(self.mean_pressure(i));
        let velocity = flow_m3_s / line.area_m2;
        let carries = self.carried_shares(line, velocity, air_kg_m3);
        let gradient = smooth_line_gradient(velocity, air_kg_m3, line.bore_m);
        line.leaves_m3_s(velocity, gradient, carries)
    }

    /// Lets air through parts into nodes that were full of liquid.
    fn distribute_air(&mut self, instant: &FlowState, inflow: Option<AirInflow>) {
        if let Some(node) = inflow.map(|inflow| inflow.node.index()).filter(|i| !self.air.at[*i]) {
            self.air.at[node] = true;
            self.air.liquid_share[node] = 0.0;
        }
        // In the order of flow, so that air runs through parts one after the other at once, as liquid does.
        for &node in &self.order.nodes {
            if !self.air.at[node] || self.air.liquid_share[node] > NEARLY_LIQUID {
                continue;
            }
            for &i in &self.arms[node] {
                let branch = &self.plumbing.branches[i];
                let from = branch.from.index() == node;
                let next = if from { branch.to } else { branch.from };
                let free = self.plumbing.node(next).tank.is_none() && !self.air.at[next.index()];
                let is_part = branch.part.line().is_none();
                if is_part && free && self.away_m3_s(i, node, instant) > STILL_M3_S {
                    self.air.at[next.index()] = true;
                    self.air.liquid_share[next.index()] = self.air.liquid_share[node];
                    self.air.happened = true;
                }
            }
        }
    }

    /// Full lines that air may enter in this move become lines that hold air.
    fn open_lines(&mut self, instant: &FlowState) {
        for (i, branch) in self.plumbing.branches.iter().enumerate() {
            let flow = instant.flow_m3_s[i];
            let inlet = usize::from(flow < 0.0);
            let full = matches!(self.held[i], Content::Tubes(_) | Content::Leg(_));
            if !full || flow.abs() <= STILL_M3_S || !self.has_air_at_end(i, inlet) {
                continue;
            }
            let Some(line) = branch.part.line() else { continue };
            let held = self.held[i].amount();
            let opened = AirLine::dry(line, self.rise_m(i), &self.liquid, self.options.slip);
            self.held[i] = Content::Air(Box::new(opened.filled(held)));
        }
    }

    /// What leaves lines that hold air: known before what enters them.
    pub(in super::super) fn let_out_of_air_lines(&mut self, instant: &FlowState, dt_s: f64) {
        for i in 0..self.held.len() {
            let Content::Air(line) = &self.held[i] else { continue };
            let flow = instant.flow_m3_s[i];
            let air_kg_m3 = density(self.mean_pressure(i));
            let velocity = flow / line.area_m2;
            let carries = self.carried_shares(line, velocity, air_kg_m3);
            let opens = self.goes_on(i, instant);
            let Content::Air(line) = &mut self.held[i] else { continue };
            let outlet = usize::from(flow >= 0.0);
            let concentration = line.concentration();
            let out = if line.layered && !line.slips {
                line.carry_along(velocity, opens, dt_s)
            } else if line.layered {
                let gradient = smooth_line_gradient(velocity, air_kg_m3, line.bore_m);
                line.drag_layer(velocity, gradient, carries, opens, dt_s)
            } else if line.gap_m3[outlet] <= 0.0 {
                line.take_from_column(flow.abs() * dt_s)
            } else {
                0.0
            };
            self.outflow[i].clear();
            self.outflow[i].push(stream::steady(concentration));
            self.passed_m3[i] = if outlet == 1 { out } else { -out };
        }
        self.drain_through_nodes(instant, dt_s);
    }

    /// Whether anything leaves the node that branch `i` flows to, or a tank takes it.
    fn goes_on(&self, i: usize, instant: &FlowState) -> bool {
        let branch = &self.plumbing.branches[i];
        let outlet = if instant.flow_m3_s[i] >= 0.0 { branch.to } else { branch.from };
        let away = |k: &usize| *k != i && self.away_m3_s(*k, outlet.index(), instant) > STILL_M3_S;
        self.plumbing.node(outlet).tank.is_some() || self.arms[outlet.index()].iter().any(away)
    }

    /// Shares of the layer in either half of `line` that air of `air_kg_m3` at `gas_m_s` carries uphill.
    pub(super) fn carried_shares(&self, line: &AirLine, gas_m_s: f64, air_kg_m3: f64) -> [f64; 2] {
        if !line.layered || !line.is_sloped() {
            return [1.0; 2];
        }
        line.slopes().map(|sin| {
            let liquid_kg_m3 = self.liquid.density_kg_m3;
            let critical = critical_gas_flux(line.bore_m, sin.abs(), liquid_kg_m3, air_kg_m3);
            carried_share(gas_m_s.abs(), critical)
        })
    }

    /// Lays liquid that arrives at `node` and that nothing takes away into the lines there that have room for it; what is
    /// left waits.
    pub(in super::super) fn lay_down(&mut self, node: usize, volume_m3: f64) {
        let concentration = stream::mean(&self.at_node[node]);
        let mut left = volume_m3;
        for &i in &self.arms[node] {
            let end = usize::from(self.plumbing.branches[i].to.index() == node);
            let coming = self.air.let_in[i].liquid_m3;
            let Some(line) = self.held[i].air_mut() else { continue };
            // A gap filled to the brim would leave its air no volume and the next solve no finite pressure; a full line
            // takes back what rounding has cost it.
            let room = if line.is_full() { line.room_m3() } else { MOST_LAID * line.free_m3(end) };
            let laid = left.min((room - coming).max(0.0));
            line.lay(end, laid, concentration);
            left -= laid;
        }
        if left > 0.0 {
            self.air.waiting[node].add(left, concentration);
        }
    }

    /// Once liquid has moved: columns follow it, air takes the room that is left, and what has come to an end is taken
    /// up.
    pub(in super::super) fn finish_air(
        &mut self,
        instant: &FlowState,
        inflow: Option<AirInflow>,
        dt_s: f64,
    ) {
        self.finish_lines(instant, dt_s);
        self.share_air();
        self.move_air(instant, inflow, dt_s);
        self.take_up_events(instant, inflow.map(|inflow| inflow.node), dt_s);
    }

    /// Moves columns and takes in what was let into lines that hold air.
    fn finish_lines(&mut self, instant: &FlowState, dt_s: f64) {
        for (i, &flow) in instant.flow_m3_s.iter().enumerate() {
            let inlet = usize::from(flow < 0.0);
            let Content::Air(line) = &self.held[i] else { continue };
            let inlet_air = self.has_air_at_end(i, inlet);
            let left_behind = self.nose(line, flow, inlet);
            let (let_in, out) = (self.air.let_in[i], self.passed_m3[i].abs());
            let Content::Air(line) = &mut self.held[i] else { continue };
            line.product_m3 += let_in.product_m3;
            if line.layered {
                line.add_to_layer(inlet, let_in.liquid_m3);
            } else {
                let volumes = (flow.abs() * dt_s, out, let_in.liquid_m3);
                line.move_column(inlet, volumes, inlet_air, left_behind);
            }
            let air_before = line.free_m3(0);
            // What changes hands when a column ends or begins is settled after all lines have moved: `share_air`.
            let change = line.tidy(inlet, inlet_air);
            if change == LineChange::BrokenThrough {
                self.air.broken_through.push(BranchId::at(i));
            }
            if change != LineChange::None {
                self.air.shifted.push((i, air_before));
            }
        }
    }
}
