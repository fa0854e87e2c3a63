//! The order in which flow visits nodes.

use crate::hydraulics::STILL_M3_S;
use crate::plumbing::{Branch, NodeId, Plumbing};

/// Nodes in the order of flow, and lines whose outflow must be taken before their inflow is known.
#[derive(Clone, Debug, Default)]
pub(super) struct Order {
    /// Nodes, each after every node whose outflow reaches it.
    pub(super) nodes: Vec<usize>,
    /// Branches that close a loop of flow: lines that hold more than passes in a step.
    pub(super) ahead: Vec<usize>,
}

/// The node that `flow` of `branch` leaves, and the one it reaches.
fn ends(branch: &Branch, flow: f64) -> (NodeId, NodeId) {
    if flow > 0.0 { (branch.from, branch.to) } else { (branch.to, branch.from) }
}

/// The order for flows `flow`, m3/s; tanks stand first, since they take and give without delay.
pub(super) fn order(plumbing: &Plumbing, flow: &[f64]) -> Order {
    let count = plumbing.nodes.len();
    let mut waiting = vec![0usize; count];
    let mut leaving: Vec<Vec<usize>> = vec![Vec::new(); count];
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if flow[i].abs() <= STILL_M3_S {
            continue;
        }
        let (from, to) = ends(branch, flow[i]);
        leaving[from.index()].push(i);
        if plumbing.node(to).tank.is_none() {
            waiting[to.index()] += 1;
        }
    }
    let mut order = Order::default();
    let mut done = vec![false; count];
    let mut ready: Vec<usize> = (0..count).filter(|node| waiting[*node] == 0).collect();
    while order.nodes.len() < count {
        let Some(node) = ready.pop() else {
            let Some(largest) = fullest_of_loop(plumbing, flow, &done, &order.ahead) else { break };
            order.ahead.push(largest);
            let (_, to) = ends(&plumbing.branches[largest], flow[largest]);
            waiting[to.index()] = waiting[to.index()].saturating_sub(1);
            if waiting[to.index()] == 0 {
                ready.push(to.index());
            }
            continue;
        };
        if std::mem::replace(&mut done[node], true) {
            continue;
        }
        order.nodes.push(node);
        for &i in &leaving[node] {
            if order.ahead.contains(&i) {
                continue;
            }
            let (_, to) = ends(&plumbing.branches[i], flow[i]);
            if plumbing.node(to).tank.is_some() {
                continue;
            }
            waiting[to.index()] -= 1;
            if waiting[to.index()] == 0 && !done[to.index()] {
                ready.push(to.index());
            }
        }
    }
    order
}

/// The line that holds most among those that a loop of flow without a tank waits for, or any other part of it: it is let
/// go ahead.
fn fullest_of_loop(
    plumbing: &Plumbing,
    flow: &[f64],
    done: &[bool],
    ahead: &[usize],
) -> Option<usize> {
    let waits = |i: &usize| {
        let (from, to) = ends(&plumbing.branches[*i], flow[*i]);
        // What a node that is done lets out has been counted already.
        flow[*i].abs() > STILL_M3_S
            && !done[from.index()]
            && !done[to.index()]
            && !ahead.contains(i)
            && plumbing.node(to).tank.is_none()
    };
    let held_s = |i: &usize| {
        let line = plumbing.branches[*i].part.line();
        line.map_or(0.0, |line| line.volume_m3() / flow[*i].abs())
    };
    let candidates = (0..plumbing.branches.len()).filter(waits);
    candidates.max_by(|a, b| held_s(a).total_cmp(&held_s(b)))
}
