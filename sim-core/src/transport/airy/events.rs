//! What has come to an end in a step: fronts at nodes, nodes without air, lines full again.

use super::super::leg::Leg;
use super::super::line::TubedLine;
use super::super::state::{Contents, STILL_M3_S};
use super::Airy;
use super::part_line::End;
use crate::air::density;

/// Air that reaches a node, over the liquid that does, up to which liquid fills it.
const FLOODS_UP_TO: f64 = 0.1;

impl Contents<'_> {
    pub(super) fn events(
        &mut self,
        airy: &mut Airy,
        flow: &[f64],
        inlet: Option<usize>,
        dt_s: f64,
    ) {
        airy.happened |= !airy.shifted.is_empty();
        for node in 0..self.plumbing.nodes.len() {
            if self.floods(airy, node, flow, inlet, dt_s) {
                self.flood(airy, node);
            }
        }
        self.close_lines(airy, flow);
    }

    /// Where a column is gone or has come to be, nodes hand over the air that is now the other's: half of a line
    /// without a column is either's, and the air beside a column that of the node on its side.
    pub(super) fn share_air(&self, airy: &mut Airy) {
        for k in 0..airy.shifted.len() {
            let (i, before) = airy.shifted[k];
            let Some(part) = airy.part[i].as_ref() else { continue };
            let more = before - part.free_m3(0);
            let branch = &self.plumbing.branches[i];
            let (from, to) = (branch.from.index(), branch.to.index());
            let (giver, taker) = if more > 0.0 { (from, to) } else { (to, from) };
            self.hand_over(airy, giver, taker, more.abs());
        }
    }

    /// Hands `volume_m3` of air from one node to another, which it makes airy.
    pub(super) fn hand_over(&self, airy: &mut Airy, from: usize, to: usize, volume_m3: f64) {
        let is_tank = |node: usize| self.plumbing.nodes[node].tank.is_some();
        let mut kg = volume_m3 * density(airy.absolute_pa[from]);
        if !is_tank(from) {
            kg = kg.min(airy.mass_kg[from].max(0.0));
        }
        match (is_tank(from), is_tank(to)) {
            (true, true) => return,
            (true, false) => airy.air.drawn_kg += kg,
            (false, _) => airy.mass_kg[from] -= kg,
        }
        if is_tank(to) {
            airy.air.to_tanks_kg += kg;
            return;
        }
        airy.mass_kg[to] += kg;
        airy.airy[to] = true;
        let volume = airy.node_air_m3(to, &self.arms[to], self.plumbing);
        let of_air = airy.mass_kg[to] / density(1.0) / volume;
        airy.absolute_pa[to] = of_air.max(airy.liquid.vapour_pressure_pa.max(1.0));
    }

    /// Whether liquid takes `node`: it arrives there, no air comes with it, and no air is caught between it and
    /// a column.
    fn floods(
        &self,
        airy: &Airy,
        node: usize,
        flow: &[f64],
        inlet: Option<usize>,
        dt_s: f64,
    ) -> bool {
        let tank = self.plumbing.nodes[node].tank.is_some();
        if tank || !airy.airy[node] || inlet == Some(node) {
            return false;
        }
        let (mut liquid, mut air) = (airy.waiting[node].liquid_m3, 0.0);
        for &i in &self.arms[node] {
            let (end, towards) = self.towards(i, node, flow[i]);
            match &airy.part[i] {
                Some(part) if !part.airy && part.is_airy_at(end) => return false,
                Some(part) if part.airy && towards > 0.0 => air += towards * dt_s,
                _ if towards > 0.0 => {
                    let volume = self.passed_m3[i].abs();
                    liquid += volume;
                    air += (towards * dt_s - volume).max(0.0);
                }
                _ => {}
            }
        }
        liquid > STILL_M3_S * dt_s && air <= FLOODS_UP_TO * liquid
    }

    /// End of branch `i` at `node`, and its flow towards it.
    fn towards(&self, i: usize, node: usize, flow: f64) -> (End, f64) {
        if self.plumbing.branches[i].to.index() == node { (1, flow) } else { (0, -flow) }
    }

    /// Fills `node` with liquid: a column begins in every dry line there, and its air moves to their far ends.
    fn flood(&self, airy: &mut Airy, node: usize) {
        for &i in &self.arms[node] {
            let branch = &self.plumbing.branches[i];
            let (end, far) = if branch.from.index() == node {
                (0, branch.to.index())
            } else {
                (1, branch.from.index())
            };
            let Some(part) = airy.part[i].as_mut().filter(|part| part.airy) else { continue };
            let volume = part.free_m3(end);
            part.flood(end);
            self.hand_over(airy, node, far, volume);
        }
        airy.air.carried_kg += airy.mass_kg[node];
        airy.mass_kg[node] = 0.0;
        airy.airy[node] = false;
        airy.happened = true;
    }

    /// Lines of air into which `flow` would draw liquid from a tank begin to fill with it; whether any does.
    pub fn gulp(&mut self, flow: &[f64]) -> bool {
        let Some(mut airy) = self.airy.take() else { return false };
        let mut any = false;
        for (i, flow) in flow.iter().enumerate() {
            let branch = &self.plumbing.branches[i];
            let (end, from, far) = if *flow >= 0.0 {
                (0, branch.from.index(), branch.to.index())
            } else {
                (1, branch.to.index(), branch.from.index())
            };
            let wet_tank = self.plumbing.nodes[from].tank.is_some() && !airy.airy[from];
            if !wet_tank || flow.abs() <= STILL_M3_S {
                continue;
            }
            let Some(part) = airy.part[i].as_mut().filter(|part| part.airy) else { continue };
            let volume = part.free_m3(end);
            part.flood(end);
            self.hand_over(&mut airy, from, far, volume);
            any = true;
        }
        self.airy = Some(airy);
        any
    }

    /// Full lines that no air can enter hold liquid as before, and let out what they take in to the last drop.
    fn close_lines(&mut self, airy: &mut Airy, flow: &[f64]) {
        for (i, &flow) in flow.iter().enumerate() {
            let Some(part) = airy.part[i].as_ref().filter(|part| part.is_full()) else { continue };
            let branch = &self.plumbing.branches[i];
            let free = |node: crate::plumbing::NodeId| {
                !airy.airy[node.index()] || self.plumbing.node(node).tank.is_some()
            };
            let upstream = if flow >= 0.0 { branch.from } else { branch.to };
            let flows = flow.abs() > STILL_M3_S && !airy.airy[upstream.index()];
            if flows || (free(branch.from) && free(branch.to)) {
                self.fill_line(i, part.liquid_m3(), part.strength());
                airy.part[i] = None;
                airy.happened = true;
            }
        }
    }

    /// Line `i` holds `volume_m3` of liquid of one `strength` and no air that takes part.
    pub(super) fn fill_line(&mut self, i: usize, volume_m3: f64, strength: f64) {
        let Some(line) = self.plumbing.branches[i].part.line() else { return };
        match self.cap_mouth[i] {
            Some(mouth) => {
                let length = (volume_m3 / line.area_m2()).max(1e-9);
                self.legs[i] = Some((mouth, Leg::new(line.bore_m, length, strength)));
            }
            None => self.lines[i] = Some(TubedLine::new(volume_m3, strength)),
        }
    }
}
