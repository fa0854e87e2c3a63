//! One step of contents that hold air: liquid first, then air, then what has come to an end.

use super::super::state::{Contents, Moved, STILL_M3_S};
use super::super::stream;
use super::super::tanks::Amount;
use super::Airy;
use super::part_line::{Change, PartLine};
use crate::air::{density, smooth_line_gradient};
use crate::hydraulics::MixedInstant;
use crate::procedure::Transfer;
use crate::two_phase::critical_gas_flux;

/// Share of a line's room at a node that liquid may take up in a step.
const MOST_LAID: f64 = 0.9;
/// Share of liquid in a mixture up to which air counts as passing.
const NEARLY_LIQUID: f64 = 0.999;

impl Contents<'_> {
    /// Moves liquid and air with the flows of `instant` for `dt_s`; `inlet` is the node where compressed air
    /// comes in.
    pub fn advance_airy(
        &mut self,
        instant: &MixedInstant,
        inlet: Option<usize>,
        transfers: &[Transfer],
        dt_s: f64,
    ) -> Moved {
        let Some(mut airy) = self.airy.take() else { return Moved::default() };
        airy.happened = false;
        airy.broken_through.clear();
        airy.shifted.clear();
        let flow = &instant.flow;
        self.order_with_air(&airy, &flow.flow_m3_s);
        self.spread_air(&mut airy, &flow.flow_m3_s, inlet);
        self.open_lines(&mut airy, &flow.flow_m3_s);
        self.passed_m3.fill(0.0);
        self.sprayed_m3.fill(0.0);
        airy.let_in.fill(Amount::default());
        self.let_out_ahead(&flow.flow_m3_s, dt_s);
        self.take_outflows(&mut airy, &flow.flow_m3_s, dt_s);
        self.airy = Some(airy);
        let nodes = std::mem::take(&mut self.order.nodes);
        for &node in &nodes {
            self.pass_airy(node, &flow.flow_m3_s, &flow.tip_flow_m3_s, dt_s);
        }
        self.order.nodes = nodes;
        let mut moved = Moved::default();
        let at_mouths = self.at_mouths(&flow.flow_m3_s);
        let volumes = (&at_mouths[..], &self.sprayed_m3[..]);
        moved.from_endless = self.tanks.exchange(volumes, &self.outflow, transfers, dt_s);
        for (tip, volume) in self.plumbing.tips.iter().zip(&self.sprayed_m3) {
            if *volume > 0.0 {
                moved.sprayed.add(*volume, stream::mean(&self.at_node[tip.node.index()]));
            }
        }
        let Some(mut airy) = self.airy.take() else { return moved };
        self.finish_lines(&mut airy, &flow.flow_m3_s, dt_s);
        self.share_air(&mut airy);
        self.move_air(&mut airy, instant, inlet, dt_s);
        self.events(&mut airy, &flow.flow_m3_s, inlet, dt_s);
        self.airy = Some(airy);
        moved
    }

    /// The order in which flow visits nodes; what leaves a line that holds air does not wait for what enters.
    fn order_with_air(&mut self, airy: &Airy, flow: &[f64]) {
        self.take_order(|i| if airy.part[i].is_some() { 0.0 } else { flow[i] });
    }

    /// Lets air through parts into nodes that were full of liquid.
    fn spread_air(&self, airy: &mut Airy, flow: &[f64], inlet: Option<usize>) {
        if let Some(node) = inlet.filter(|node| !airy.airy[*node]) {
            airy.airy[node] = true;
            airy.liquid_share[node] = 0.0;
        }
        for &node in &self.order.nodes {
            if !airy.airy[node] || airy.liquid_share[node] > NEARLY_LIQUID {
                continue;
            }
            for &i in &self.arms[node] {
                let branch = &self.plumbing.branches[i];
                let (away, next) = if branch.from.index() == node {
                    (flow[i], branch.to.index())
                } else {
                    (-flow[i], branch.from.index())
                };
                let free = self.plumbing.nodes[next].tank.is_none() && !airy.airy[next];
                if branch.part.line().is_none() && away > STILL_M3_S && free {
                    airy.airy[next] = true;
                    airy.liquid_share[next] = airy.liquid_share[node];
                    airy.happened = true;
                }
            }
        }
    }

    /// Full lines that air may enter in this step become lines that hold air.
    fn open_lines(&mut self, airy: &mut Airy, flow: &[f64]) {
        for (i, branch) in self.plumbing.branches.iter().enumerate() {
            let Some(line) = branch.part.line() else { continue };
            let upstream = if flow[i] >= 0.0 { branch.from } else { branch.to };
            if !airy.airy[upstream.index()] || flow[i].abs() <= STILL_M3_S || airy.part[i].is_some()
            {
                continue;
            }
            let held = match (self.lines[i].take(), self.legs[i].take()) {
                (Some(held), _) => (held.volume_m3(), held.product_m3()),
                (None, Some((_, leg))) => (leg.volume_m3(), leg.product_m3()),
                (None, None) => continue,
            };
            let rise_m = self.rise_m(i);
            airy.part[i] = Some(PartLine::full(line, rise_m, &airy.liquid, held.0, held.1));
        }
    }

    /// What leaves lines that hold air: known before what enters them.
    fn take_outflows(&mut self, airy: &mut Airy, flow: &[f64], dt_s: f64) {
        for i in 0..airy.part.len() {
            let q = flow[i];
            let (critical, air_kg_m3) = self.critical(airy, i);
            let opens = self.goes_on(i, flow);
            let Some(part) = &mut airy.part[i] else { continue };
            let outlet = usize::from(q >= 0.0);
            let strength = part.strength();
            let out = if part.airy {
                let velocity = q / part.area_m2;
                let gradient = smooth_line_gradient(velocity, air_kg_m3, part.bore_m);
                part.drag_layer(velocity, gradient, critical, opens, dt_s)
            } else if part.gap_m3[outlet] <= 0.0 {
                part.take_from_column(q.abs() * dt_s)
            } else {
                0.0
            };
            self.outflow[i].clear();
            self.outflow[i].push(stream::steady(strength));
            self.passed_m3[i] = if outlet == 1 { out } else { -out };
        }
    }

    /// Whether anything leaves the node that branch `i` flows to, or a tank takes it.
    fn goes_on(&self, i: usize, flow: &[f64]) -> bool {
        let branch = &self.plumbing.branches[i];
        let outlet = if flow[i] >= 0.0 { branch.to } else { branch.from };
        let away = |k: &usize| {
            let from = self.plumbing.branches[*k].from == outlet;
            *k != i && (if from { flow[*k] } else { -flow[*k] }) > STILL_M3_S
        };
        self.plumbing.node(outlet).tank.is_some() || self.arms[outlet.index()].iter().any(away)
    }

    /// Velocity from which air carries liquid uphill in either half of line `i`, m/s, and the air's density, kg/m3.
    fn critical(&self, airy: &Airy, i: usize) -> ([f64; 2], f64) {
        let branch = &self.plumbing.branches[i];
        let mean =
            0.5 * (airy.absolute_pa[branch.from.index()] + airy.absolute_pa[branch.to.index()]);
        let air = density(mean);
        let Some(part) = airy.part[i].as_ref().filter(|part| part.airy) else {
            return ([0.0; 2], air);
        };
        let critical = part.slopes().map(|sin| {
            if sin.abs() < 1e-6 {
                return 0.0;
            }
            critical_gas_flux(part.bore_m, sin.abs(), airy.liquid.density_kg_m3, air)
        });
        (critical, air)
    }

    /// Passes on what arrives at `node`.
    fn pass_airy(&mut self, node: usize, flow: &[f64], tip_flow: &[f64], dt_s: f64) {
        let tank = self.plumbing.nodes[node].tank;
        if let Some(connection) = tank {
            self.at_node[node].clear();
            if self.airy.as_ref().is_some_and(|airy| airy.airy[node]) {
                return;
            }
            let strength = self.tanks.strength(connection.tank.index());
            self.at_node[node].push(stream::steady(strength));
        }
        let arrived = if tank.is_some() { f64::INFINITY } else { self.gather(node, flow, dt_s) };
        let away = |i: usize| {
            let from = self.plumbing.branches[i].from.index() == node;
            let away = if from { flow[i] } else { -flow[i] };
            if away > STILL_M3_S { away } else { 0.0 }
        };
        let ahead: Vec<usize> = self.arms[node]
            .iter()
            .copied()
            .filter(|i| away(*i) > 0.0 && self.lines[*i].is_some() && self.order.ahead.contains(i))
            .collect();
        if arrived <= 0.0 && ahead.is_empty() {
            if let Some(airy) = &mut self.airy {
                airy.liquid_share[node] = 0.0;
            }
            return;
        }
        let through = self.arms[node].iter().map(|i| away(*i)).sum::<f64>()
            + self.tips_at[node].iter().map(|tip| tip_flow[*tip].max(0.0)).sum::<f64>()
            - ahead.iter().map(|i| away(*i)).sum::<f64>();
        let arrived = arrived - self.take_back(node, &ahead, flow);
        let share = match (tank.is_some(), through > 0.0) {
            (true, _) => 1.0,
            (false, true) => arrived.max(0.0) / (through * dt_s),
            (false, false) => 0.0,
        };
        if arrived > 0.0 && through <= 0.0 && tank.is_none() {
            self.lay_down(node, arrived);
        }
        if let Some(airy) = &mut self.airy {
            airy.liquid_share[node] = share.min(1.0);
            if arrived < 0.0 {
                airy.waiting[node].add(arrived, stream::mean(&self.at_node[node]));
            }
        }
        if share <= 0.0 {
            return;
        }
        for k in 0..self.tips_at[node].len() {
            let tip = self.tips_at[node][k];
            self.sprayed_m3[tip] = share * tip_flow[tip].max(0.0) * dt_s;
        }
        for k in 0..self.arms[node].len() {
            let i = self.arms[node][k];
            let from = self.plumbing.branches[i].from.index() == node;
            let away = if from { flow[i] } else { -flow[i] };
            if away > STILL_M3_S && !ahead.contains(&i) {
                self.let_into_airy(i, node, share * away * dt_s, !from);
            }
        }
    }

    /// Lets what passes `node` into the lines `ahead` that have let out as much before; returns how much, m3. If more
    /// than arrives, the rest is owed: less than nothing waits at the node.
    fn take_back(&mut self, node: usize, ahead: &[usize], flow: &[f64]) -> f64 {
        if self.at_node[node].is_empty() {
            let near = self.strength_near(node);
            self.at_node[node].push(stream::steady(near));
        }
        for &i in ahead {
            self.let_into(i, node, 0.0, flow[i] < 0.0);
        }
        ahead.iter().map(|i| self.passed_m3[*i].abs()).sum()
    }

    /// Lays liquid that arrives at `node` and that nothing takes away into the lines that hold air there; what they
    /// have no room for waits.
    fn lay_down(&mut self, node: usize, volume_m3: f64) {
        let strength = stream::mean(&self.at_node[node]);
        let Some(airy) = &mut self.airy else { return };
        let mut left = volume_m3;
        for &i in &self.arms[node] {
            let end = usize::from(self.plumbing.branches[i].to.index() == node);
            let Some(part) = airy.part[i].as_mut().filter(|part| part.is_airy_at(end)) else {
                continue;
            };
            let laid = left.min(MOST_LAID * part.free_m3(end));
            part.lay(end, laid, strength);
            left -= laid;
        }
        if left > 0.0 {
            airy.waiting[node].add(left, strength);
        }
    }

    /// Mixes what arrives at `node`, what waited there included; returns its volume, m3.
    fn gather(&mut self, node: usize, flow: &[f64], dt_s: f64) -> f64 {
        let waited = match &mut self.airy {
            Some(airy) => std::mem::take(&mut airy.waiting[node]),
            None => Amount::default(),
        };
        let arrived = self.mix_flows(node, flow, dt_s);
        let whole = arrived + waited.liquid_m3;
        if whole <= 0.0 {
            if let Some(airy) = &mut self.airy {
                airy.waiting[node] = waited;
                airy.waiting[node].add(arrived, stream::mean(&self.at_node[node]));
            }
            return 0.0;
        }
        if waited.liquid_m3 != 0.0 {
            let product = arrived * stream::mean(&self.at_node[node]) + waited.product_m3;
            self.at_node[node].clear();
            self.at_node[node].push(stream::steady(product / whole));
        }
        whole
    }

    fn let_into_airy(&mut self, i: usize, node: usize, volume_m3: f64, backward: bool) {
        if let Some(airy) = &mut self.airy
            && airy.part[i].is_some()
        {
            airy.let_in[i].add(volume_m3, stream::mean(&self.at_node[node]));
            return;
        }
        self.let_into(i, node, volume_m3, backward);
    }

    /// Volume at each branch's end in a tank: that of its other end, but for lines that fill or empty.
    fn at_mouths(&self, flow: &[f64]) -> Vec<f64> {
        let mut volumes = self.passed_m3.clone();
        let Some(airy) = &self.airy else { return volumes };
        for (i, part) in airy.part.iter().enumerate() {
            let branch = &self.plumbing.branches[i];
            let inlet = if flow[i] >= 0.0 { branch.from } else { branch.to };
            if part.is_some() && self.plumbing.node(inlet).tank.is_some() {
                volumes[i] = airy.let_in[i].liquid_m3.copysign(flow[i]);
            }
        }
        volumes
    }

    /// Moves columns and takes in what was let into lines that hold air.
    fn finish_lines(&mut self, airy: &mut Airy, flow: &[f64], dt_s: f64) {
        for (i, &q) in flow.iter().enumerate() {
            let inlet = usize::from(q < 0.0);
            let inlet_air = self.is_airy_end(airy, i, inlet);
            let left_behind = self.nose(airy, i, q, inlet);
            let (let_in, out) = (airy.let_in[i], self.passed_m3[i].abs());
            let Some(part) = &mut airy.part[i] else { continue };
            part.product_m3 += let_in.product_m3;
            if part.airy {
                part.add_to_layer(inlet, let_in.liquid_m3);
            } else {
                let volumes = (q.abs() * dt_s, out, let_in.liquid_m3);
                part.move_column(inlet, volumes, inlet_air, left_behind);
            }
            let air_before = part.free_m3(0);
            let change = part.tidy(inlet, inlet_air);
            if change == Change::BrokenThrough {
                airy.broken_through.push(i);
            }
            if change != Change::None {
                airy.shifted.push((i, air_before));
            }
        }
    }
}
