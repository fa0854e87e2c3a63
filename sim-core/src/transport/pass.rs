//! What passes a node: everything that arrives mixes, and leaves in proportion to the flows.

use super::state::{Contents, STILL_M3_S};
use super::stream;
use crate::hydraulics::Instant;

impl Contents<'_> {
    /// What passes `node`: the mixture of everything that arrives, less what dead legs there take.
    /// Returns how much arrives, m3; `None` at a tank, which gives what is asked.
    pub(super) fn mix(&mut self, node: usize, instant: &Instant, dt_s: f64) -> Option<f64> {
        if let Some(connection) = self.plumbing.nodes[node].tank {
            let strength = self.tanks.strength(connection.tank.index());
            self.at_node[node].clear();
            self.at_node[node].push(stream::steady(strength));
            return None;
        }
        Some(self.mix_flows(node, &instant.flow_m3_s, dt_s))
    }

    /// The same at a node that no tank holds, for branch flows `flow`; returns how much arrives, m3.
    pub(super) fn mix_flows(&mut self, node: usize, flow: &[f64], dt_s: f64) -> f64 {
        let mut mixed = std::mem::take(&mut self.at_node[node]);
        let arriving = |i: usize| {
            let branch = &self.plumbing.branches[i];
            let volume = self.passed_m3[i];
            let towards = if branch.to.index() == node { volume } else { -volume };
            (towards > 0.0).then_some(towards)
        };
        let whole: f64 = self.arms[node].iter().filter_map(|i| arriving(*i)).sum();
        if whole <= 0.0 {
            self.at_node[node] = mixed;
            return 0.0;
        }
        mixed.clear();
        let mut fastest = 0.0f64;
        for &i in &self.arms[node] {
            let Some(volume) = arriving(i) else { continue };
            if let Some(line) = self.plumbing.branches[i].part.line() {
                fastest = fastest.max(flow[i].abs() / line.area_m2());
            }
            let share = volume / whole;
            stream::add_weighted(&mut mixed, &self.outflow[i], share, &mut self.scratch);
        }
        stream::shorten(&mut mixed);
        for &i in &self.arms[node] {
            let Some((mouth, leg)) = &mut self.legs[i] else { continue };
            if *mouth != node {
                continue;
            }
            let volume = leg.exchanged(fastest, dt_s).min(0.5 * whole);
            let (share, inside) = (volume / whole, leg.mouth());
            let passing = stream::mean(&mixed);
            leg.exchange(volume, passing);
            // What the stream gives and takes uses the leg as it stood, so nothing is lost.
            mixed.iter_mut().for_each(|part| part.strength -= share * (part.strength - inside));
        }
        self.at_node[node] = mixed;
        whole
    }

    /// Lets what passes `node` into every branch and tip that leaves it, in proportion to their flows and as
    /// much as `arrived`: flows balance to the solver's tolerance only, volumes must to the last digit.
    pub(super) fn let_out(
        &mut self,
        node: usize,
        arrived: Option<f64>,
        instant: &Instant,
        dt_s: f64,
    ) {
        if self.at_node[node].is_empty() {
            return;
        }
        let (mut ahead, mut asked) = (0.0, 0.0);
        for &i in &self.arms[node] {
            let Some(away) = self.leaving_m3_s(i, node, instant) else { continue };
            if self.order.ahead.contains(&i) {
                ahead += away * dt_s;
            } else {
                asked += away * dt_s;
            }
        }
        let tip_flow = |tip: &usize| instant.tip_flow_m3_s[*tip];
        let tips = self.tips_at[node].iter().map(tip_flow).filter(|flow| *flow > STILL_M3_S);
        asked += tips.sum::<f64>() * dt_s;
        let share = match arrived {
            None => 1.0,
            Some(arrived) if asked > 0.0 => ((arrived - ahead) / asked).max(0.0),
            Some(_) => 0.0,
        };
        for &tip in &self.tips_at[node] {
            if instant.tip_flow_m3_s[tip] > STILL_M3_S {
                self.sprayed_m3[tip] = share * instant.tip_flow_m3_s[tip] * dt_s;
            }
        }
        for k in 0..self.arms[node].len() {
            let i = self.arms[node][k];
            let Some(away) = self.leaving_m3_s(i, node, instant) else { continue };
            self.let_into(i, node, share * away * dt_s, instant.flow_m3_s[i] < 0.0);
        }
    }

    /// Flow of branch `i` away from `node`, m3/s, if there is any.
    fn leaving_m3_s(&self, i: usize, node: usize, instant: &Instant) -> Option<f64> {
        let flow = instant.flow_m3_s[i];
        let away = if self.plumbing.branches[i].from.index() == node { flow } else { -flow };
        (away > STILL_M3_S).then_some(away)
    }

    /// Lets `volume_m3` of what passes `node` into branch `i`.
    pub(super) fn let_into(&mut self, i: usize, node: usize, volume_m3: f64, backward: bool) {
        let inflow = &self.at_node[node];
        if self.order.ahead.contains(&i) {
            if let Some(line) = &mut self.lines[i] {
                line.let_in(self.passed_m3[i].abs(), inflow, backward);
            }
            return;
        }
        if volume_m3 <= 0.0 {
            return;
        }
        self.passed_m3[i] = if backward { -volume_m3 } else { volume_m3 };
        match &mut self.lines[i] {
            Some(line) => {
                line.push(volume_m3, inflow, backward, &mut self.outflow[i], &mut self.scratch);
            }
            None => {
                self.outflow[i].clear();
                self.outflow[i].extend_from_slice(inflow);
            }
        }
    }
}
