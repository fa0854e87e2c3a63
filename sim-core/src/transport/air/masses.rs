//! Where the air goes in a step.

use super::super::content::Content;
use super::super::order::order;
use super::super::state::Contents;
use super::{NODE_AIR_M3, solved_pressure};
use crate::air::{PRESSURE_OVER_DENSITY_J_KG, REFERENCE_DENSITY_KG_M3, density};
use crate::fluids::AbsolutePressure;
use crate::hydraulics::{AirInflow, FlowState, STILL_M3_S};

/// How far the pressure that follows from what leaves may stand outside of the pressures before and as solved.
const MOST_CHANGE: f64 = 1.1;

/// A way out of a node for air.
#[derive(Clone, Copy)]
enum Way {
    Branch(usize),
    Tip,
}

impl Contents<'_> {
    /// Moves air between nodes with the flows of `instant`, and takes up the pressures that follow.
    ///
    /// Where much passes a node in a step compared with what it holds, it passes on what arrives, at the
    /// pressure the flow was solved for; where little does, what leaves is what the flow says and the
    /// pressure follows.
    pub(super) fn move_air(&mut self, instant: &FlowState, inflow: Option<AirInflow>, dt_s: f64) {
        self.air.passed_kg.fill(0.0);
        let supplied_kg = |inflow: AirInflow| inflow.free_m3_s * REFERENCE_DENSITY_KG_M3 * dt_s;
        if let Some(inflow) = inflow {
            self.air.mass_kg[inflow.node.index()] += supplied_kg(inflow);
            self.air.account.supplied_kg += supplied_kg(inflow);
        }
        if let Some(supply) = &mut self.air.supply {
            supply.draw(inflow.map_or(0.0, supplied_kg), dt_s);
        }
        for node in self.air_order(instant) {
            self.pass_air(node, instant, dt_s);
        }
        for node in 0..self.plumbing.nodes.len() {
            self.take_up_pressure(node, instant);
        }
    }

    /// Nodes that hold air, each after those whose air reaches it, as far as air does not run in circles.
    fn air_order(&self, instant: &FlowState) -> Vec<usize> {
        let carried = |(i, flow): (usize, &f64)| match &self.held[i] {
            Content::Air(line) if !line.layered => 0.0,
            Content::Air(_) | Content::Nothing if flow.abs() > STILL_M3_S => *flow,
            _ => 0.0,
        };
        let carried: Vec<f64> = instant.flow_m3_s.iter().enumerate().map(carried).collect();
        let order = order(&self.plumbing, &carried);
        order.nodes.into_iter().filter(|node| self.air.at[*node]).collect()
    }

    fn pass_air(&mut self, node: usize, instant: &FlowState, dt_s: f64) {
        let ways = self.ways_out(node, instant, dt_s);
        let planned: f64 = ways.iter().map(|(_, kg)| kg).sum();
        if planned <= 0.0 {
            return;
        }
        let leaves = if self.plumbing.nodes[node].tank.is_some() {
            self.air.account.drawn_kg += planned;
            planned
        } else {
            let leaves = self.leaving_kg(node, planned, solved_pressure(instant, node));
            self.air.mass_kg[node] -= leaves;
            leaves
        };
        for (way, kg) in ways {
            self.pass_on(node, way, kg * leaves / planned);
        }
    }

    /// Air that leaves `node`, kg, where the flow says `planned` and the pressure `solved` for its end.
    ///
    /// Flow and pressure come from one solution, but only one of them can be kept to the last digit, since what arrives
    /// is known by mass. A node through which much passes is stiff: a small error of what leaves would throw its
    /// pressure far off, so there the pressure is kept.
    fn leaving_kg(&self, node: usize, planned: f64, solved: AbsolutePressure) -> f64 {
        let volume = self.node_air_m3(node);
        let (mass, before) = (self.air.mass_kg[node], self.air.pressure[node]);
        let rest = mass - volume * density(solved);
        let through = planned / density(solved) / volume;
        // From half its volume in a step on, the node counts as stiff altogether.
        let stiff = (2.0 * through).min(1.0);
        let most = mass - volume * density(solved.min(before)) / MOST_CHANGE;
        let least = mass - volume * density(solved.max(before)) * MOST_CHANGE;
        (stiff * rest + (1.0 - stiff) * planned).max(least).min(most).clamp(0.0, mass.max(0.0))
    }

    fn pass_on(&mut self, node: usize, way: Way, kg: f64) {
        let Way::Branch(i) = way else {
            self.air.account.out_of_tips_kg += kg;
            return;
        };
        let branch = &self.plumbing.branches[i];
        let (next, sign) = if branch.from.index() == node {
            (branch.to.index(), 1.0)
        } else {
            (branch.from.index(), -1.0)
        };
        self.air.passed_kg[i] += sign * kg;
        if self.plumbing.nodes[next].tank.is_some() {
            self.air.account.to_tanks_kg += kg;
        } else if self.air.at[next] {
            self.air.mass_kg[next] += kg;
        } else {
            self.air.account.carried_kg += kg;
        }
    }

    /// Ways on which air leaves `node`, each with what the flow says leaves there, kg.
    fn ways_out(&self, node: usize, instant: &FlowState, dt_s: f64) -> Vec<(Way, f64)> {
        let own = density(self.air.pressure[node]);
        let mut ways = Vec::new();
        for &i in &self.arms[node] {
            let away = self.away_m3_s(i, node, instant);
            if away <= STILL_M3_S {
                continue;
            }
            let kg_s = match &self.held[i] {
                Content::Air(line) if line.layered => {
                    // A mixture without slip takes the liquid along in its flow.
                    let liquid = if line.slips { 0.0 } else { self.air.liquid_share[node] };
                    away * (1.0 - liquid) * density(self.mean_pressure(i))
                }
                Content::Nothing => away * (1.0 - self.air.liquid_share[node]) * own,
                _ => continue,
            };
            ways.push((Way::Branch(i), kg_s * dt_s));
        }
        for &tip in &self.tips_at[node] {
            let kg = instant.tip_flow_m3_s[tip] * REFERENCE_DENSITY_KG_M3 * dt_s;
            if kg > 0.0 {
                ways.push((Way::Tip, kg));
            }
        }
        ways
    }

    fn take_up_pressure(&mut self, node: usize, instant: &FlowState) {
        let solved = solved_pressure(instant, node);
        if self.plumbing.nodes[node].tank.is_some() || !self.air.at[node] {
            self.air.pressure[node] = solved;
            return;
        }
        let volume = self.node_air_m3(node);
        // A node of parts alone has no volume to speak of: a mass in it would make any pressure.
        if volume <= 2.0 * NODE_AIR_M3 {
            // No line gives it room: it passes on what comes.
            let own = volume * density(solved);
            self.air.account.carried_kg += self.air.mass_kg[node] - own;
            self.air.mass_kg[node] = own;
        }
        let pa = self.air.mass_kg[node] * PRESSURE_OVER_DENSITY_J_KG / volume;
        self.air.pressure[node] = self.at_least_vapour(AbsolutePressure { pa });
    }
}
