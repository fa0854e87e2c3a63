//! Layers that run back out of rising lines, against the air, into lower ones.

use super::super::state::Contents;
use super::layer::LEVEL_SIN;
use super::line::LineEnd;
use crate::air::density;
use crate::hydraulics::FlowState;

impl Contents<'_> {
    /// Lets what lies at the foot of rising lines, and what the air of `instant` does not carry up them, run through the node
    /// there into the line that falls away most, or into a level one, as far as that holds less.
    pub(super) fn drain_through_nodes(&mut self, instant: &FlowState, dt_s: f64) {
        for i in 0..self.held.len() {
            for end in 0..2 {
                let volume_m3 = self.runs_back_m3(i, end, instant, dt_s);
                if volume_m3 > 0.0 {
                    self.let_run(i, end, volume_m3);
                }
            }
        }
    }

    /// What would run out of line `i` at `end` against the air in `dt_s`, m3.
    fn runs_back_m3(&self, i: usize, end: LineEnd, instant: &FlowState, dt_s: f64) -> f64 {
        let Some(line) =
            self.held[i].air().filter(|line| line.layered && line.slips && line.is_sloped())
        else {
            return 0.0;
        };
        let inward = if end == 0 { instant.flow_m3_s[i] } else { -instant.flow_m3_s[i] };
        if line.rises_from(end) <= LEVEL_SIN || inward < 0.0 {
            return 0.0;
        }
        let air_kg_m3 = density(self.mean_pressure(i));
        let carries = self.carried_shares(line, inward / line.area_m2, air_kg_m3);
        (1.0 - carries[end]) * line.falls_out_m3(end, dt_s)
    }

    /// Moves up to `volume_m3` from line `i` at `end` into the lowest other line there.
    fn let_run(&mut self, i: usize, end: LineEnd, volume_m3: f64) {
        let branch = &self.plumbing.branches[i];
        let node = if end == 0 { branch.from } else { branch.to };
        if self.plumbing.node(node).tank.is_some() {
            return;
        }
        let ways = self.arms[node.index()].iter().filter(|k| **k != i).filter_map(|&k| {
            let line = self.held[k].air().filter(|line| line.layered)?;
            let there = usize::from(self.plumbing.branches[k].to == node);
            let rises = line.rises_from(there);
            (rises <= LEVEL_SIN).then_some((rises, k, there))
        });
        let Some((_, k, there)) = ways.min_by(|a, b| a.0.total_cmp(&b.0)) else { return };
        let (Some(upper), Some(lower)) = (self.held[i].air(), self.held[k].air()) else { return };
        let spare = 0.5 * (upper.holdup_at(end) - lower.holdup_at(there)) * lower.cell_m3();
        let volume_m3 = volume_m3.min(spare.max(0.0));
        let concentration = upper.concentration();
        if let Some(upper) = self.held[i].air_mut() {
            upper.take_from_layer(end, volume_m3);
        }
        if let Some(lower) = self.held[k].air_mut() {
            lower.lay(there, volume_m3, concentration);
        }
    }
}
