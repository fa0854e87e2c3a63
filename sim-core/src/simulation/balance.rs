//! What must balance.

use crate::hydraulics::{FlowState, ROUNDING_M3_S, STILL_M3_S};
use crate::plumbing::Plumbing;

/// Largest imbalance of flow at a node of `plumbing` that no tank holds, over the largest flow; 0 where
/// nothing flows.
pub fn imbalance(plumbing: &Plumbing, instant: &FlowState) -> f64 {
    let mut balance = vec![0.0; plumbing.nodes.len()];
    for (branch, flow) in plumbing.branches.iter().zip(&instant.flow_m3_s) {
        balance[branch.from.index()] -= flow;
        balance[branch.to.index()] += flow;
    }
    for (tip, flow) in plumbing.tips.iter().zip(&instant.tip_flow_m3_s) {
        balance[tip.node.index()] -= flow;
    }
    let free = plumbing.nodes.iter().zip(&balance).filter(|(node, _)| node.tank.is_none());
    let worst = free.fold(0.0f64, |worst, (_, off)| worst.max(off.abs()));
    let largest = instant.flow_m3_s.iter().fold(0.0f64, |most, flow| most.max(flow.abs()));
    if largest > STILL_M3_S { (worst - ROUNDING_M3_S).max(0.0) / largest } else { 0.0 }
}
