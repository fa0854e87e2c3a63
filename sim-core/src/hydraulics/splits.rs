//! Velocity head where flows split: what tips and gauges see, and what tees take.
//!
//! Nodes carry total pressure. A tip or gauge sees the static pressure of the stream that passes it:
//! total pressure less the velocity head of what arrives at its node.

use super::circuit::{Circuit, Law};
use super::tee;
use crate::plumbing::{BranchId, Part, Plumbing};

/// Where velocity head matters, as flat arrays.
#[derive(Clone, Debug)]
pub(super) struct Splits {
    /// Branches at each node that no tank holds, node after node.
    arms: Vec<Arm>,
    /// Where each node's branches start in `arms`, and one more.
    start: Vec<usize>,
    tip_nodes: Vec<usize>,
    tees: Vec<TeeArms>,
    branches: usize,
    counted: bool,
}

/// Parts in a row past which the velocity of a stream is looked for.
const MOST_PARTS: usize = 4;

/// An end of a branch at a node.
#[derive(Clone, Copy, Debug)]
struct Arm {
    branch: usize,
    /// Whether positive flow runs to the node.
    forward: bool,
    /// The node from which a part passes a stream on as it is.
    passes_from: Option<usize>,
}

/// A tee by its links and on which end of each it stands.
#[derive(Clone, Debug)]
struct TeeArms {
    /// First and second arm of the run and side arm: link, and whether positive flow runs to the
    /// tee.
    arms: [(usize, bool); 3],
    /// The line whose bore the run has.
    run: Option<usize>,
}

impl Splits {
    /// The places in `plumbing` where velocity head matters; none if it is not `counted`.
    pub(super) fn new(plumbing: &Plumbing, counted: bool) -> Self {
        let mut at: Vec<Vec<Arm>> = vec![Vec::new(); plumbing.nodes.len()];
        for (branch, of) in plumbing.branches.iter().enumerate() {
            for (node, other, forward) in [(of.from, of.to, false), (of.to, of.from, true)] {
                let passes_from = passes_on(&of.part).then_some(other.index());
                at[node.index()].push(Arm { branch, forward, passes_from });
            }
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
            let is_line = |id: &BranchId| plumbing.branch(*id).part.line().is_some();
            let run = [a, b].into_iter().find(is_line).map(BranchId::index);
            TeeArms { arms: [arm(a), arm(b), arm(tee.side_branch)], run }
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

    /// Velocity head of the stream arriving at `node`, Pa: the mean over all that arrives.
    pub(super) fn velocity_head(&self, node: usize, circuit: &Circuit, flow: &[f64]) -> f64 {
        if self.counted { self.arriving(node, circuit, flow, MOST_PARTS).1 } else { 0.0 }
    }

    /// Flow that arrives at `node`, m3/s, and its mean velocity head, Pa; looks past at most `parts` parts.
    ///
    /// A stream that comes through a valve, strainer or meter keeps the velocity head with which it came to the part, or, of a stream
    /// that parts there, that of its share; what comes from a pump or a jet brings none.
    fn arriving(&self, node: usize, circuit: &Circuit, flow: &[f64], parts: usize) -> (f64, f64) {
        let (mut arriving, mut power) = (0.0, 0.0);
        for arm in &self.arms[self.start[node]..self.start[node + 1]] {
            let towards = if arm.forward { flow[arm.branch] } else { -flow[arm.branch] };
            if towards <= 0.0 {
                continue;
            }
            arriving += towards;
            power += towards
                * match (&circuit.laws[arm.branch], arm.passes_from) {
                    (Law::Line(line), _) => line.velocity_head(towards),
                    (_, Some(from)) if parts > 0 => {
                        let (whole, head) = self.arriving(from, circuit, flow, parts - 1);
                        // Midway in an iteration flows need not balance yet.
                        head * (towards / whole.max(towards)).powi(2)
                    }
                    _ => 0.0,
                };
        }
        if arriving > 0.0 { (arriving, power / arriving) } else { (0.0, 0.0) }
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

/// Whether a stream leaves `part` as it came to it.
fn passes_on(part: &Part) -> bool {
    match part {
        Part::Valve(_) | Part::Strainer(_) | Part::Meter(_) | Part::CheckValve(_) => true,
        Part::Line(_) | Part::Orifice(_) | Part::Pump(_) => false,
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
        let Some(Law::Line(run)) = self.run.map(|line| &circuit.laws[line]) else { return };
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
