//! What the contents have to say.

use super::content::Content;
use super::state::Contents;
use super::stream::{self, StreamPart};
use super::tanks::Amount;
use crate::hydraulics::FlowState;
use crate::plumbing::{BranchId, NodeId, TankId, TipId};
use crate::procedure::Transfer;

/// Share of what its fastest stream tube holds that a line may let out ahead of what it takes in.
const SHARE_AHEAD: f64 = 0.5;

impl Contents<'_> {
    /// Largest step for which loops of flow without a tank stay valid, s.
    pub(crate) fn largest_step_s(&self, instant: &FlowState) -> f64 {
        let limit = |i: &usize| {
            let volume = match &self.held[*i] {
                Content::Tubes(line) => line.soonest_m3(),
                _ => 0.0,
            };
            SHARE_AHEAD * volume / instant.flow_m3_s[*i].abs()
        };
        let limits = self.order.ahead.iter().map(limit).filter(|limit| *limit > 0.0);
        limits.fold(f64::INFINITY, f64::min)
    }

    /// A part that closes a loop of flow in which no line holds any liquid: what goes round there has no concentration of
    /// its own, and its moves no length.
    pub(crate) fn loop_without_line(&self) -> Option<BranchId> {
        let part = |i: &&usize| self.plumbing.branches[**i].part.line().is_none();
        self.order.ahead.iter().find(part).map(|i| BranchId::at(*i))
    }

    /// How long until a tank that flow or a transfer draws on is down to its heel, s, and which it is.
    pub(crate) fn until_empty_s(
        &self,
        instant: &FlowState,
        transfers: &[Transfer],
    ) -> Option<(f64, TankId)> {
        self.tanks.until_empty_s(instant, transfers)
    }

    /// Mean concentration of what left `branch` in the last move.
    pub(crate) fn leaving(&self, branch: BranchId) -> f64 {
        stream::mean(&self.outflow[branch.index()])
    }

    /// Concentrations that passed `node` in the last move.
    pub fn passing(&self, node: NodeId) -> &[StreamPart] {
        &self.at_node[node.index()]
    }

    /// Concentration that is at `node`, 0 to 1: what passed it last, or what the lines there hold.
    pub fn concentration_near(&self, node: NodeId) -> f64 {
        if let Some(part) = self.at_node[node.index()].last() {
            return part.concentration;
        }
        let lines = self.arms[node.index()].iter().filter_map(|i| self.held[*i].concentration());
        let (count, sum) =
            lines.fold((0.0, 0.0), |(n, sum), concentration| (n + 1.0, sum + concentration));
        if count > 0.0 { sum / count } else { 0.0 }
    }

    /// Concentration of `tank`, 0 to 1.
    pub fn tank_concentration(&self, tank: TankId) -> f64 {
        self.tanks.concentration(tank)
    }

    /// Volume of `tank`, m3, if known.
    pub(crate) fn tank_volume_m3(&self, tank: TankId) -> Option<f64> {
        self.tanks.volume_m3(tank)
    }

    /// Mean concentration of the liquid in `branch`; `None` where it holds none.
    pub fn line_concentration(&self, branch: BranchId) -> Option<f64> {
        self.held[branch.index()].concentration()
    }

    /// Concentration in `branch` at `share` of its length from its `from` end, 0 to 1, the mean over the bore; the mean of the
    /// whole where it is a dead leg or holds air, `None` where it holds no liquid.
    pub(crate) fn concentration_along(&self, branch: BranchId, share: f64) -> Option<f64> {
        match &self.held[branch.index()] {
            Content::Tubes(line) => Some(line.concentration_at(share)),
            other => other.concentration(),
        }
    }

    /// Branches that are dead legs full of liquid.
    pub(crate) fn dead_legs(&self) -> impl Iterator<Item = BranchId> + '_ {
        let legs = self.held.iter().enumerate().filter(|(_, held)| matches!(held, Content::Leg(_)));
        legs.map(|(i, _)| BranchId::at(i))
    }

    /// Volume of liquid that `tip` passed in the last move, m3.
    pub(crate) fn sprayed_m3(&self, tip: TipId) -> f64 {
        self.sprayed_m3[tip.index()]
    }

    /// Product that lies settled in lines, m3 of full strength.
    pub(crate) fn settled_m3(&self) -> f64 {
        self.beds.iter().sum()
    }

    /// Liquid in lines, dead legs and tanks of known volume, and the product in it.
    pub fn amount(&self) -> Amount {
        let mut amount = self.tanks.amount();
        self.held.iter().for_each(|held| amount += held.amount());
        self.air.waiting.iter().for_each(|waiting| amount += *waiting);
        amount.product_m3 += self.settled_m3();
        amount
    }

    /// Liquid that came into tanks through lines and parts in the last move, less what they gave.
    pub(crate) fn came_to_tanks(&self) -> Amount {
        self.tanks.came()
    }

    /// Liquid that passed each branch and tip in a move of `dt_s`, as flows, written into `flow`; pressures and
    /// all else stay.
    pub(crate) fn liquid_flows(&self, dt_s: f64, flow: &mut FlowState) {
        for (flow, passed) in flow.flow_m3_s.iter_mut().zip(&self.passed_m3) {
            *flow = passed / dt_s;
        }
        for (flow, sprayed) in flow.tip_flow_m3_s.iter_mut().zip(&self.sprayed_m3) {
            *flow = sprayed / dt_s;
        }
    }
}
