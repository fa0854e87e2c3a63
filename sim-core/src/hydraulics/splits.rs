//! Velocity head where flows split: what tips and gauges see, and what tees take.
//!
//! Nodes carry total pressure. A tip or gauge sees the static pressure of the stream that passes it:
//! total pressure less the velocity head of what arrives at its node.

use super::circuit::{Circuit, Law};
use super::tee;
use crate::plumbing::Plumbing;

/// Where velocity head matters, as flat arrays.
#[derive(Clone, Debug)]
pub(super) struct Splits {
    /// Branches at each node that no tank holds, node after node, and whether positive flow runs to it.
    arms: Vec<(usize, bool)>,
    /// Where each node's branches start in `arms`, and one more.
    start: Vec<usize>,
    tip_nodes: Vec<usize>,
    tees: Vec<TeeArms>,
    branches: usize,
    counted: bool,
}

/// A tee by its links and on which end of each it stands.
#[derive(Clone, Debug)]
struct TeeArms {
    /// First and second arm of the run and side arm: link, and whether positive flow runs to the
    /// tee.
    arms: [(usize, bool); 3],
}

impl Splits {
    /// The places in `plumbing` where velocity head matters; none if it is not `counted`.
    pub(super) fn new(plumbing: &Plumbing, counted: bool) -> Self {
        let mut at: Vec<Vec<(usize, bool)>> = vec![Vec::new(); plumbing.nodes.len()];
        for (i, branch) in plumbing.branches.iter().enumerate() {
            at[branch.from.index()].push((i, false));
            at[branch.to.index()].push((i, true));
        }
        // What runs into a tank loses its head there.
        let tanks = plumbing.nodes.iter().zip(&mut at).filter(|(node, _)| node.tank.is_some());
        tanks.for_each(|(_, arms)| arms.clear());
        let mut start = vec![0];
        // Flat arrays, one run of entries a node: walked at every iteration.
        start.extend(at.iter().scan(0, |end, arms| {
            *end += arms.len();
            Some(*end)
        }));
        let tees = plumbing.tees.iter().map(|tee| {
            let [a, b] = tee.run;
            let arm =
                |id: crate::plumbing::BranchId| (id.index(), plumbing.branch(id).to == tee.node);
            TeeArms { arms: [arm(a), arm(b), arm(tee.side_branch)] }
        });
        Self {
            arms: at.concat(),
            start,
            tip_nodes: plumbing.tips.iter().map(|tip| tip.node.index()).collect(),
            tees: tees.collect(),
            branches: plumbing.branches.len(),
            counted,
        }
    }

    /// Says whether velocity head counts; returns whether it did.
    pub(super) fn count(&mut self, counted: bool) -> bool {
        std::mem::replace(&mut self.counted, counted)
    }

    /// Whether velocity head counts.
    pub(super) fn counted(&self) -> bool {
        self.counted
    }

    /// Velocity head of the stream arriving at `node`, Pa: the mean over all that arrives, parts
    /// other than lines counting as bringing none.
    pub(super) fn velocity_head(&self, node: usize, circuit: &Circuit, flow: &[f64]) -> f64 {
        if !self.counted {
            return 0.0;
        }
        let (mut arriving, mut power) = (0.0, 0.0);
        for &(branch, forward) in &self.arms[self.start[node]..self.start[node + 1]] {
            let towards = if forward { flow[branch] } else { -flow[branch] };
            if towards > 0.0 {
                arriving += towards;
                if let Law::Line(line) = &circuit.laws[branch] {
                    power += towards * line.velocity_head(towards);
                }
            }
        }
        if arriving > 0.0 { power / arriving } else { 0.0 }
    }

    /// Writes into `extra` what splits add to each link's own loss at flows `flow`.
    pub(super) fn extra_losses(&self, circuit: &Circuit, flow: &[f64], extra: &mut [Extra]) {
        if !self.counted {
            extra.fill(Extra::default());
            return;
        }
        for (tip, &node) in self.tip_nodes.iter().enumerate() {
            let head = self.velocity_head(node, circuit, flow);
            extra[self.branches + tip] = Extra { constant: head, bend: 0.0 };
        }
        for tee in &self.tees {
            tee.arms.iter().for_each(|&(link, _)| extra[link] = Extra::default());
        }
        for tee in &self.tees {
            tee.add_losses(circuit, flow, extra);
        }
    }
}

/// What a split adds to a link's own loss: `constant + bend q|q|`.
///
/// A loss in an arm that carries much of the flow grows with the square of its own flow, and is written so
/// that Newton's method sees its slope; anything else lags as a constant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Extra {
    /// Pa.
    pub(super) constant: f64,
    /// Pa s2/m6, >= 0.
    pub(super) bend: f64,
}

/// Share of the whole flow from which an arm's loss counts as growing with its own flow.
const OWN_FROM: f64 = 0.2;

impl TeeArms {
    fn add_losses(&self, circuit: &Circuit, flow: &[f64], extra: &mut [Extra]) {
        let Law::Line(run) = &circuit.laws[self.arms[0].0] else { return };
        let towards = self.arms.map(|(link, to_tee)| if to_tee { flow[link] } else { -flow[link] });
        let whole = towards.iter().fold(0.0f64, |most, flow| most.max(flow.abs()));
        let drops = tee::drops(towards, run.head_per_flow2());
        for ((link, to_tee), drop) in self.arms.into_iter().zip(drops) {
            let (loss, q) = (if to_tee { -drop } else { drop }, flow[link]);
            if loss * q > 0.0 && q.abs() >= OWN_FROM * whole {
                extra[link].bend += loss / (q * q.abs());
            } else {
                extra[link].constant += loss;
            }
        }
    }
}
