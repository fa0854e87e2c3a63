//! What has come to an end in a step: fronts at nodes, nodes without air, lines full again.

use super::super::content::Content;
use super::super::leg::Leg;
use super::super::line::TubedLine;
use super::super::state::Contents;
use crate::air::density;
use crate::fluids::AbsolutePressure;
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::plumbing::NodeId;

/// Air that reaches a node, over the liquid that does, up to which liquid fills it.
const FLOODS_UP_TO: f64 = 0.1;

impl Contents<'_> {
    /// Takes up what the move of `dt_s` has brought to an end; `inlet` is the node where compressed air comes in.
    pub(super) fn take_up_events(&mut self, instant: &FlowState, inlet: Option<NodeId>, dt_s: f64) {
        self.air.happened |= !self.air.shifted.is_empty();
        for node in 0..self.plumbing.nodes.len() {
            let blown = inlet.is_some_and(|inlet| inlet.index() == node);
            if !blown && self.floods(node, instant, dt_s) {
                self.flood(node);
            }
        }
        self.close_lines(instant);
    }

    /// Where a column is gone or has come to be, nodes hand over the air that is now the other's: half of a line
    /// without a column is either's, and the air beside a column that of the node on its side.
    pub(super) fn share_air(&mut self) {
        for k in 0..self.air.shifted.len() {
            let (i, before) = self.air.shifted[k];
            let Some(line) = self.held[i].air() else { continue };
            let more = before - line.free_m3(0);
            let branch = &self.plumbing.branches[i];
            let (from, to) = (branch.from.index(), branch.to.index());
            let (giver, taker) = if more > 0.0 { (from, to) } else { (to, from) };
            self.hand_over(giver, taker, more.abs());
        }
    }

    /// Hands `volume_m3` of air from one node to another, which holds air from then on.
    fn hand_over(&mut self, from: usize, to: usize, volume_m3: f64) {
        let is_tank = |node: usize| self.plumbing.nodes[node].tank.is_some();
        // Never more than the giver has: its pressure is that of a solved step, its mass that of the account.
        let mut kg = volume_m3 * density(self.air.pressure[from]);
        if !is_tank(from) {
            kg = kg.min(self.air.mass_kg[from].max(0.0));
        }
        match (is_tank(from), is_tank(to)) {
            (true, true) => return,
            (true, false) => self.air.account.drawn_kg += kg,
            (false, _) => self.air.mass_kg[from] -= kg,
        }
        if is_tank(to) {
            self.air.account.to_tanks_kg += kg;
            return;
        }
        self.air.mass_kg[to] += kg;
        self.air.at[to] = true;
        let per_pascal = density(AbsolutePressure { pa: 1.0 });
        let pa = self.air.mass_kg[to] / per_pascal / self.node_air_m3(to);
        self.air.pressure[to] = self.at_least_vapour(AbsolutePressure { pa });
    }

    /// Whether liquid takes `node`: it arrives there, no air comes with it, and no air is caught between it and
    /// a column.
    fn floods(&self, node: usize, instant: &FlowState, dt_s: f64) -> bool {
        if self.plumbing.nodes[node].tank.is_some() || !self.air.at[node] {
            return false;
        }
        let (mut liquid, mut air) = (self.air.waiting[node].liquid_m3, 0.0);
        for &i in &self.arms[node] {
            let end = usize::from(self.plumbing.branches[i].to.index() == node);
            let towards = -self.away_m3_s(i, node, instant);
            match &self.held[i] {
                // Air between node and column would have nowhere to go.
                Content::Air(line) if !line.layered && line.has_air_at(end) => return false,
                Content::Air(line) if line.layered && towards > 0.0 => air += towards * dt_s,
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

    /// Fills `node` with liquid: a column begins in every dry line there, and its air moves to their far ends.
    fn flood(&mut self, node: usize) {
        for k in 0..self.arms[node].len() {
            let i = self.arms[node][k];
            let branch = &self.plumbing.branches[i];
            let (end, far) = if branch.from.index() == node {
                (0, branch.to.index())
            } else {
                (1, branch.from.index())
            };
            self.begin_column(i, end, node, far);
        }
        self.air.account.carried_kg += self.air.mass_kg[node];
        self.air.mass_kg[node] = 0.0;
        self.air.at[node] = false;
        self.air.happened = true;
    }

    /// Begins a column at `end` of line `i`, at node `node`, whose air there moves to node `far`; returns whether the
    /// line was without one.
    fn begin_column(&mut self, i: usize, end: usize, node: usize, far: usize) -> bool {
        let Some(line) = self.held[i].air_mut().filter(|line| line.layered) else { return false };
        let volume = line.free_m3(end);
        line.flood(end);
        self.hand_over(node, far, volume);
        true
    }

    /// Lines of air into which the flow of `instant` would draw liquid from a tank begin to fill with it; whether any
    /// does.
    pub(crate) fn gulp(&mut self, instant: &FlowState) -> bool {
        let mut any = false;
        let plumbing = self.plumbing.clone();
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let flow = instant.flow_m3_s[i];
            let (end, from, far) = if flow >= 0.0 {
                (0, branch.from.index(), branch.to.index())
            } else {
                (1, branch.to.index(), branch.from.index())
            };
            let wet_tank = plumbing.nodes[from].tank.is_some() && !self.air.at[from];
            if wet_tank && flow.abs() > STILL_M3_S {
                any |= self.begin_column(i, end, from, far);
            }
        }
        any
    }

    /// Full lines that no air can enter hold liquid as before, and let out what they take in to the last drop.
    fn close_lines(&mut self, instant: &FlowState) {
        let plumbing = self.plumbing.clone();
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let Some(line) = self.held[i].air().filter(|line| line.is_full()) else { continue };
            let flow = instant.flow_m3_s[i];
            let has_air = |node: NodeId| self.air.at[node.index()];
            let free = |node| !has_air(node) || plumbing.node(node).tank.is_some();
            let upstream = if flow >= 0.0 { branch.from } else { branch.to };
            // Liquid that enters behind keeps air out; at rest, both ends must be free of it.
            let flows = flow.abs() > STILL_M3_S && !has_air(upstream);
            if flows || (free(branch.from) && free(branch.to)) {
                self.fill_partly(i, line.liquid_m3(), line.concentration());
                self.air.happened = true;
            }
        }
    }

    /// Line `i` holds `volume_m3` of liquid of one `strength` and no air that takes part.
    pub(super) fn fill_partly(&mut self, i: usize, volume_m3: f64, concentration: f64) {
        let Some(line) = self.plumbing.branches[i].part.line() else { return };
        self.held[i] = match self.mouth[i] {
            Some(_) => {
                let length_m = (volume_m3 / line.area_m2()).max(1e-9);
                Content::Leg(Leg::new(line.bore_m, length_m, concentration))
            }
            None => Content::Tubes(TubedLine::new(volume_m3, concentration)),
        };
    }
}
