//! Where the air goes in a step.

use super::super::state::{Contents, STILL_M3_S};
use super::{Airy, NODE_AIR_M3};
use crate::air::{PRESSURE_OVER_DENSITY_J_KG, REFERENCE_DENSITY_KG_M3, density};
use crate::fluids::ATMOSPHERE_PA;
use crate::hydraulics::{Instant, MixedInstant};

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
    pub(super) fn move_air(
        &mut self,
        airy: &mut Airy,
        instant: &MixedInstant,
        inlet: Option<usize>,
        dt_s: f64,
    ) {
        airy.passed_kg.fill(0.0);
        if let Some(node) = inlet {
            let kg = instant.inlet_m3_s * REFERENCE_DENSITY_KG_M3 * dt_s;
            airy.mass_kg[node] += kg;
            airy.air.supplied_kg += kg;
        }
        if let Some(supply) = &mut airy.supply {
            let kg = inlet.map_or(0.0, |_| instant.inlet_m3_s * REFERENCE_DENSITY_KG_M3 * dt_s);
            supply.draw(kg, dt_s);
        }
        let flow = &instant.flow;
        for node in self.air_order(airy, &flow.flow_m3_s) {
            self.pass_air(airy, node, flow, dt_s);
        }
        for node in 0..self.plumbing.nodes.len() {
            self.take_up_pressure(airy, node, flow);
        }
    }

    /// Airy nodes, each after those whose air reaches it, as far as air does not run in circles.
    fn air_order(&self, airy: &Airy, flow: &[f64]) -> Vec<usize> {
        let carries = |i: usize| {
            let branch = &self.plumbing.branches[i];
            let line = branch.part.line().is_some();
            (!line || airy.part[i].as_ref().is_some_and(|part| part.airy))
                && flow[i].abs() > STILL_M3_S
        };
        let masked: Vec<f64> =
            (0..flow.len()).map(|i| if carries(i) { flow[i] } else { 0.0 }).collect();
        let order = super::super::order::order(self.plumbing, &masked);
        order.nodes.into_iter().filter(|node| airy.airy[*node]).collect()
    }

    fn pass_air(&mut self, airy: &mut Airy, node: usize, flow: &Instant, dt_s: f64) {
        let held_by_tank = self.plumbing.nodes[node].tank.is_some();
        let ways = self.ways_out(airy, node, flow, dt_s);
        let planned: f64 = ways.iter().map(|(_, kg)| kg).sum();
        if planned <= 0.0 {
            return;
        }
        let leaves = if held_by_tank {
            airy.air.drawn_kg += planned;
            planned
        } else {
            let volume = airy.node_air_m3(node, &self.arms[node], self.plumbing);
            let solved = (flow.total_pressure_pa[node] + ATMOSPHERE_PA).max(1.0);
            let rest = airy.mass_kg[node] - volume * density(solved);
            let through = planned / density(solved) / volume;
            let stiff = (2.0 * through).min(1.0);
            let before = airy.absolute_pa[node];
            let mass = airy.mass_kg[node];
            let most = mass - volume * density(solved.min(before)) / MOST_CHANGE;
            let least = mass - volume * density(solved.max(before)) * MOST_CHANGE;
            (stiff * rest + (1.0 - stiff) * planned).max(least).min(most).clamp(0.0, mass.max(0.0))
        };
        if !held_by_tank {
            airy.mass_kg[node] -= leaves;
        }
        for (way, kg) in ways {
            self.pass_on(airy, node, way, kg * leaves / planned);
        }
    }

    fn pass_on(&self, airy: &mut Airy, node: usize, way: Way, kg: f64) {
        let Way::Branch(i) = way else {
            airy.air.out_of_tips_kg += kg;
            return;
        };
        let branch = &self.plumbing.branches[i];
        let (next, sign) = if branch.from.index() == node {
            (branch.to.index(), 1.0)
        } else {
            (branch.from.index(), -1.0)
        };
        airy.passed_kg[i] += sign * kg;
        if self.plumbing.nodes[next].tank.is_some() {
            airy.air.to_tanks_kg += kg;
        } else if airy.airy[next] {
            airy.mass_kg[next] += kg;
        } else {
            airy.air.carried_kg += kg;
        }
    }

    /// Ways on which air leaves `node`, each with what the flow says leaves there, kg.
    fn ways_out(&self, airy: &Airy, node: usize, flow: &Instant, dt_s: f64) -> Vec<(Way, f64)> {
        let own = density(airy.absolute_pa[node]);
        let mut ways = Vec::new();
        for &i in &self.arms[node] {
            let branch = &self.plumbing.branches[i];
            let (from, to) = (branch.from.index(), branch.to.index());
            let away = if from == node { flow.flow_m3_s[i] } else { -flow.flow_m3_s[i] };
            if away <= STILL_M3_S {
                continue;
            }
            let kg_s = match (branch.part.line(), &airy.part[i]) {
                (Some(_), Some(part)) if part.airy => {
                    away * density(0.5 * (airy.absolute_pa[from] + airy.absolute_pa[to]))
                }
                (Some(_), _) => continue,
                (None, _) => away * (1.0 - airy.liquid_share[node]) * own,
            };
            ways.push((Way::Branch(i), kg_s * dt_s));
        }
        for &tip in &self.tips_at[node] {
            let kg = flow.tip_flow_m3_s[tip] * REFERENCE_DENSITY_KG_M3 * dt_s;
            if kg > 0.0 {
                ways.push((Way::Tip, kg));
            }
        }
        ways
    }

    fn take_up_pressure(&self, airy: &mut Airy, node: usize, flow: &Instant) {
        let solved = (flow.total_pressure_pa[node] + ATMOSPHERE_PA).max(1.0);
        if self.plumbing.nodes[node].tank.is_some() || !airy.airy[node] {
            airy.absolute_pa[node] = solved;
            return;
        }
        let volume = airy.node_air_m3(node, &self.arms[node], self.plumbing);
        if volume <= 2.0 * NODE_AIR_M3 {
            // No line gives it room: it passes on what comes.
            let own = volume * density(solved);
            airy.air.carried_kg += airy.mass_kg[node] - own;
            airy.mass_kg[node] = own;
        }
        // Where there is hardly any air, vapour fills the room.
        let of_air = airy.mass_kg[node] * PRESSURE_OVER_DENSITY_J_KG / volume;
        airy.absolute_pa[node] = of_air.max(airy.liquid.vapour_pressure_pa.max(1.0));
    }
}
