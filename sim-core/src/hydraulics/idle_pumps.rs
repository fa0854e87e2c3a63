//! Pumps that run and cannot lift what lies ahead of them.

use super::STILL_M3_S;
use super::circuit::{Circuit, Law};
use super::flow_state::{FlowState, Notice};
use crate::plumbing::{BranchId, Plumbing};

/// Nodes behind an idle pump that nothing but closed one-way parts joins to the rest, and those parts.
struct Island {
    nodes: Vec<bool>,
    /// Links that lead into it, and out of it.
    inward: Vec<usize>,
    outward: Vec<usize>,
}

/// Gives what stands behind each idle pump the pressure of its shut-off head, and adds what keeps the pump idle.
///
/// Between a pump and a check valve that are both closed, any pressure solves the network from what the pump gives to what
/// opens the valve; a pump that has run up from rest has brought it to the first of these, so far as no other part lets more
/// in.
pub(super) fn settle(plumbing: &Plumbing, circuit: &Circuit, instant: &mut FlowState) {
    for pump in 0..instant.flow_m3_s.len() {
        let Law::Pump(law) = &circuit.laws[pump] else { continue };
        if !circuit.open[pump] || instant.flow_m3_s[pump] >= 0.0 {
            continue;
        }
        if let Some(island) = island(plumbing, circuit, instant, pump) {
            lower(plumbing, circuit, instant, &island);
        }
        if law.speed() > 0.0 {
            let gives_pa = -first_drop(circuit, pump);
            let needs_pa = gives_pa + to_open(plumbing, circuit, instant, pump);
            instant.notices.push(Notice::PumpIdle {
                branch: BranchId::at(pump),
                gives_pa,
                needs_pa,
            });
        }
    }
}

/// Loss of link `i` as it begins to pass something, Pa.
fn first_drop(circuit: &Circuit, i: usize) -> f64 {
    circuit.laws[i].loss_at(0.0, 0.0).pa
}

/// What is missing of the pressure difference that opens link `i`, Pa.
fn missing(plumbing: &Plumbing, circuit: &Circuit, instant: &FlowState, i: usize) -> f64 {
    let branch = &plumbing.branches[i];
    let at = |node: usize| circuit.unknown[node].map_or(0.0, |_| instant.total_pressure_pa[node]);
    let driving = at(branch.from.index()) - at(branch.to.index()) + circuit.links[i].drive_pa;
    (first_drop(circuit, i) - driving).max(0.0)
}

/// By how much more idle `pump` would have to give for anything to pass, Pa.
fn to_open(plumbing: &Plumbing, circuit: &Circuit, instant: &FlowState, pump: usize) -> f64 {
    let missing = |i: usize| missing(plumbing, circuit, instant, i);
    let ahead = island(plumbing, circuit, instant, pump);
    let outward = ahead.map(|island| island.outward).unwrap_or_default();
    let least = outward.into_iter().map(missing).fold(f64::INFINITY, f64::min);
    missing(pump) + if least.is_finite() { least } else { 0.0 }
}

/// Lowers the pressure of all of `island` until a part that leads into it is about to open.
fn lower(plumbing: &Plumbing, circuit: &Circuit, instant: &mut FlowState, island: &Island) {
    let excess = island.inward.iter().map(|i| missing(plumbing, circuit, instant, *i));
    let by_pa = excess.fold(f64::INFINITY, f64::min);
    if !by_pa.is_finite() {
        return;
    }
    for node in (0..island.nodes.len()).filter(|node| island.nodes[*node]) {
        instant.total_pressure_pa[node] -= by_pa;
        instant.static_pressure_pa[node] -= by_pa;
    }
    // Whatever joins it to the rest, closed valves among it, bears the difference.
    for (branch, loss_pa) in plumbing.branches.iter().zip(&mut instant.loss_pa) {
        match (island.nodes[branch.from.index()], island.nodes[branch.to.index()]) {
            (true, false) => *loss_pa -= by_pa,
            (false, true) => *loss_pa += by_pa,
            _ => {}
        }
    }
}

/// What closed one-way parts alone join to the rest behind `pump`; `None` where something passes into it, a tip opens from it or
/// it holds a given pressure.
fn island(
    plumbing: &Plumbing,
    circuit: &Circuit,
    instant: &FlowState,
    pump: usize,
) -> Option<Island> {
    let closed = |i: usize| circuit.laws[i].one_way() && instant.flow_m3_s[i] <= STILL_M3_S;
    let mut nodes = vec![false; plumbing.nodes.len()];
    let mut to_visit = vec![plumbing.branches[pump].to.index()];
    nodes[to_visit[0]] = true;
    let (mut inward, mut outward) = (Vec::new(), Vec::new());
    let ends = plumbing.branches.iter().map(|branch| (branch.from.index(), branch.to.index()));
    let links: Vec<(usize, usize)> = ends.collect();
    while let Some(node) = to_visit.pop() {
        circuit.unknown[node]?;
        for (i, (from, to)) in links.iter().enumerate().filter(|(i, _)| circuit.open[*i]) {
            let other = match node {
                _ if node == *from => *to,
                _ if node == *to => *from,
                _ => continue,
            };
            match closed(i) {
                true if node == *to => inward.push(i),
                true => outward.push(i),
                false if !nodes[other] => {
                    nodes[other] = true;
                    to_visit.push(other);
                }
                false => {}
            }
        }
    }
    let tip_open = |(i, tip): (usize, &crate::plumbing::Tip)| {
        nodes[tip.node.index()] && circuit.open[plumbing.branches.len() + i]
    };
    let opens = plumbing.tips.iter().enumerate().any(tip_open);
    (!opens).then_some(Island { nodes, inward, outward })
}
