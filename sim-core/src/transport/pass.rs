//! One move: what arrives at a node mixes, and leaves in proportion to the flows.

use super::content::Content;
use super::state::{Contents, Moved};
use super::stream;
use crate::hydraulics::{AirInflow, FlowState, STILL_M3_S};
use crate::plumbing::NodeId;
use crate::procedure::Transfer;

impl Contents<'_> {
    /// Moves everything with the flows of `instant`, which [`Self::set_flows`] has taken up, for `dt_s`.
    pub fn advance(&mut self, instant: &FlowState, transfers: &[Transfer], dt_s: f64) -> Moved {
        self.advance_air(instant, None, transfers, dt_s)
    }

    /// The same; `inflow` is the compressed air that comes in, which only plumbing that holds air takes
    /// ([`Self::begin_air`]).
    ///
    /// Liquid goes first and air after it: columns move as far as their liquid says, and air takes the room they leave.
    pub(crate) fn advance_air(
        &mut self,
        instant: &FlowState,
        inflow: Option<AirInflow>,
        transfers: &[Transfer],
        dt_s: f64,
    ) -> Moved {
        if self.air.takes_part {
            self.let_air_in(instant, inflow, dt_s);
        }
        self.passed_m3.fill(0.0);
        self.sprayed_m3.fill(0.0);
        self.look_at_tanks(instant, transfers, dt_s);
        self.let_out_ahead(instant, dt_s);
        if self.air.takes_part {
            self.let_out_of_air_lines(instant, dt_s);
        }
        for k in 0..self.order.nodes.len() {
            self.pass(self.order.nodes[k], instant, dt_s);
        }
        let moved = self.settle_accounts(instant, transfers, dt_s);
        if self.air.takes_part {
            self.finish_air(instant, inflow, dt_s);
        } else if let Some(supply) = &mut self.air.supply {
            // No air is asked for, and the compressor runs.
            supply.draw(0.0, dt_s);
        }
        moved
    }

    /// Finds what tanks give in this move: they mix with what comes in, which is expected to be as it was in the last move.
    fn look_at_tanks(&mut self, instant: &FlowState, transfers: &[Transfer], dt_s: f64) {
        let expected = |i: usize| match self.outflow[i].as_slice() {
            [] => self.held[i].concentration(),
            left => Some(stream::mean(left)),
        };
        self.tanks.look_ahead(instant, expected, transfers, dt_s);
    }

    /// Takes the outflow of lines that close a loop of flow, ahead of everything else: their inflow, which depends on
    /// it, follows once the rest of the loop has been passed.
    fn let_out_ahead(&mut self, instant: &FlowState, dt_s: f64) {
        for &i in &self.order.ahead {
            let volume = instant.flow_m3_s[i] * dt_s;
            if let Content::Tubes(line) = &mut self.held[i] {
                self.passed_m3[i] = volume;
                let (outflow, scratch) = (&mut self.outflow[i], &mut self.scratch);
                line.let_out(volume.abs(), volume < 0.0, outflow, scratch);
            }
        }
    }

    /// Books what passed the mouths of tanks, the tips and the transfers.
    fn settle_accounts(&mut self, instant: &FlowState, transfers: &[Transfer], dt_s: f64) -> Moved {
        let mut moved = Moved::default();
        let plumbing = &*self.plumbing;
        // Lines that fill or empty pass another volume at the one end than at the other.
        let at_mouth = |i: usize, to_end: bool| {
            let flow = instant.flow_m3_s[i];
            let inlet = (flow < 0.0) == to_end;
            match self.held[i] {
                Content::Air(_) if inlet => self.air.let_in[i].liquid_m3.copysign(flow),
                _ => self.passed_m3[i],
            }
        };
        let leaving = |i: usize| stream::mean(&self.outflow[i]);
        moved.from_endless =
            self.tanks.exchange(at_mouth, leaving, &self.sprayed_m3, transfers, dt_s);
        for (tip, volume) in plumbing.tips.iter().zip(&self.sprayed_m3) {
            if *volume > 0.0 {
                moved.sprayed.add(*volume, stream::mean(&self.at_node[tip.node.index()]));
            }
        }
        moved
    }

    /// Passes on what arrives at `node`, and no more than that: flows balance to the solver's tolerance only, volumes
    /// must to the last digit. A tank gives what is asked.
    fn pass(&mut self, node: usize, instant: &FlowState, dt_s: f64) {
        let share = match self.plumbing.nodes[node].tank {
            Some(connection) => {
                self.at_node[node].clear();
                // A mouth above the liquid gives air.
                if self.air.at[node] {
                    return;
                }
                let concentration = self.tanks.gives(connection.tank);
                self.at_node[node].push(stream::steady(concentration));
                self.take_back(node, instant);
                1.0
            }
            None => {
                let arrived = self.gather(node, instant, dt_s);
                let rest = arrived - self.take_back(node, instant);
                let asked = self.asked_m3(node, instant, dt_s);
                if self.air.takes_part {
                    return self.share_out(node, rest, asked, instant, dt_s);
                }
                if asked > 0.0 && rest >= 0.0 {
                    rest / asked
                } else {
                    // Rounding, what waited here when air ended, or what was given ahead of what arrived.
                    self.air.waiting[node].add(rest, stream::mean(&self.at_node[node]));
                    0.0
                }
            }
        };
        self.air.liquid_share[node] = share.min(1.0);
        if share > 0.0 {
            self.hand_out(node, share, instant, dt_s);
        }
    }

    /// Passes on `rest_m3` at `node` where air takes part: no way takes more than its flow says or than its line has room
    /// for. What nothing takes lies down in lines there or waits; what has been given ahead is owed.
    fn share_out(
        &mut self,
        node: usize,
        rest_m3: f64,
        asked_m3: f64,
        instant: &FlowState,
        dt_s: f64,
    ) {
        let share = if asked_m3 > 0.0 { (rest_m3 / asked_m3).clamp(0.0, 1.0) } else { 0.0 };
        self.air.liquid_share[node] = share;
        let refused = if share > 0.0 { self.hand_out(node, share, instant, dt_s) } else { 0.0 };
        let beyond =
            if rest_m3 > asked_m3 { rest_m3 - asked_m3.max(0.0) } else { rest_m3.min(0.0) };
        if beyond + refused > 0.0 {
            self.lay_down(node, beyond + refused);
        } else if beyond < 0.0 {
            self.air.waiting[node].add(beyond, stream::mean(&self.at_node[node]));
        }
    }

    /// Lets the share `share` of what is asked of `node` into its tips and branches; returns what they had no room for, m3.
    fn hand_out(&mut self, node: usize, share: f64, instant: &FlowState, dt_s: f64) -> f64 {
        for &tip in &self.tips_at[node] {
            if instant.tip_flow_m3_s[tip] > STILL_M3_S {
                self.sprayed_m3[tip] = share * instant.tip_flow_m3_s[tip] * dt_s;
            }
        }
        let mut refused = 0.0;
        for k in 0..self.arms[node].len() {
            let i = self.arms[node][k];
            let away = self.away_m3_s(i, node, instant);
            if away > STILL_M3_S && !self.order.ahead.contains(&i) {
                let volume = share * away * dt_s;
                refused += self.let_into(i, node, volume, instant.flow_m3_s[i] < 0.0);
            }
        }
        refused
    }

    /// Volume that the flow asks of `node` for its tips and branches, but for lines that have been served ahead, m3.
    fn asked_m3(&self, node: usize, instant: &FlowState, dt_s: f64) -> f64 {
        let asks = |i: &&usize| !self.order.ahead.contains(*i);
        let arms = self.arms[node].iter().filter(asks).map(|i| self.away_m3_s(*i, node, instant));
        let arms = arms.filter(|away| *away > STILL_M3_S);
        let tips = self.tips_at[node].iter().map(|tip| instant.tip_flow_m3_s[*tip]);
        let tips = tips.filter(|flow| *flow > STILL_M3_S).sum::<f64>();
        if self.air.takes_part {
            (arms.sum::<f64>() + tips) * dt_s
        } else {
            arms.map(|away| away * dt_s).sum::<f64>() + tips * dt_s
        }
    }

    /// Flow of branch `i` away from `node`, m3/s.
    pub(super) fn away_m3_s(&self, i: usize, node: usize, instant: &FlowState) -> f64 {
        let flow = instant.flow_m3_s[i];
        if self.plumbing.branches[i].from.index() == node { flow } else { -flow }
    }

    /// Lets what passes `node` into the lines there that have let out as much ahead of it; returns how much, m3.
    fn take_back(&mut self, node: usize, instant: &FlowState) -> f64 {
        let mut taken = 0.0;
        for k in 0..self.order.ahead.len() {
            let i = self.order.ahead[k];
            if !self.arms[node].contains(&i) || self.away_m3_s(i, node, instant) <= STILL_M3_S {
                continue;
            }
            if self.at_node[node].is_empty() {
                // Nothing has passed here yet: what is there has to do.
                let near = self.concentration_near(NodeId::at(node));
                self.at_node[node].push(stream::steady(near));
            }
            if let Content::Tubes(line) = &mut self.held[i] {
                let backward = instant.flow_m3_s[i] < 0.0;
                line.let_in(self.passed_m3[i].abs(), &self.at_node[node], backward);
                taken += self.passed_m3[i].abs();
            }
        }
        taken
    }

    /// Mixes what arrives at `node`, what waited there included; returns its volume, m3.
    fn gather(&mut self, node: usize, instant: &FlowState, dt_s: f64) -> f64 {
        let waited = std::mem::take(&mut self.air.waiting[node]);
        let arrived = self.mix(node, instant, dt_s);
        let whole = arrived + waited.liquid_m3;
        if whole <= 0.0 {
            self.air.waiting[node] = waited;
            self.air.waiting[node].add(arrived, stream::mean(&self.at_node[node]));
            return 0.0;
        }
        if waited.liquid_m3 != 0.0 {
            let product = arrived * stream::mean(&self.at_node[node]) + waited.product_m3;
            self.at_node[node].clear();
            self.at_node[node].push(stream::steady(product / whole));
        }
        whole
    }

    /// Mixes what arrives through the branches at `node`, less what dead legs there take; returns its volume, m3.
    fn mix(&mut self, node: usize, instant: &FlowState, dt_s: f64) -> f64 {
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
                fastest = fastest.max(instant.flow_m3_s[i].abs() / line.area_m2());
            }
            let share = volume / whole;
            stream::add_weighted(&mut mixed, &self.outflow[i], share, &mut self.scratch);
        }
        stream::shorten(&mut mixed);
        for &i in &self.arms[node] {
            let Content::Leg(leg) = &mut self.held[i] else { continue };
            if self.mouth[i] != Some(node) {
                continue;
            }
            let volume = leg.exchanged(fastest, dt_s).min(0.5 * whole);
            let (share, inside) = (volume / whole, leg.mouth());
            let passing = stream::mean(&mixed);
            leg.exchange(volume, passing);
            // What the stream gives and takes uses the leg as it stood, so nothing is lost.
            mixed
                .iter_mut()
                .for_each(|part| part.concentration -= share * (part.concentration - inside));
        }
        self.at_node[node] = mixed;
        whole
    }

    /// Lets `volume_m3` (> 0) of what passes `node` into branch `i`; returns what it has no room for, m3.
    fn let_into(&mut self, i: usize, node: usize, volume_m3: f64, backward: bool) -> f64 {
        let inflow = &self.at_node[node];
        let signed = if backward { -volume_m3 } else { volume_m3 };
        match &mut self.held[i] {
            // What it lets out was taken before; what comes in joins once its column has moved.
            Content::Air(line) => {
                let taken = volume_m3.min(line.room_m3());
                self.air.let_in[i].add(taken, stream::mean(inflow));
                return volume_m3 - taken;
            }
            Content::Tubes(line) => {
                self.passed_m3[i] = signed;
                line.push(volume_m3, inflow, backward, &mut self.outflow[i], &mut self.scratch);
            }
            Content::Leg(_) | Content::Nothing => {
                self.passed_m3[i] = signed;
                self.outflow[i].clear();
                self.outflow[i].extend_from_slice(inflow);
            }
        }
        0.0
    }
}
