//! Where a network without a boom's shape is drawn: in layers by the number of parts from a tank.

use super::strokes::bowed;
use sim_core::plumbing::{NodeId, Plumbing};
use std::collections::{BTreeMap, VecDeque};

/// A point for each node, both coordinates from 0 to 1.
pub(crate) fn points(plumbing: &Plumbing) -> Vec<(f64, f64)> {
    let nodes = plumbing.nodes.len();
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    for branch in &plumbing.branches {
        near[branch.from.index()].push(branch.to.index());
        near[branch.to.index()].push(branch.from.index());
    }
    let layer = layers(plumbing, &near);
    let last = layer.iter().copied().max().unwrap_or(0);
    let mut members: Vec<Vec<usize>> = vec![Vec::new(); last + 1];
    (0..nodes).for_each(|node| members[layer[node]].push(node));
    let mut place = vec![0.0; nodes];
    spread(&members, &mut place);
    // A few sweeps that draw each node towards the mean of its neighbours untangle most crossings.
    for _ in 0..6 {
        for group in &mut members {
            let pull = |node: usize| {
                let around = near[node].iter().map(|other| place[*other]).sum::<f64>();
                around / near[node].len().max(1) as f64
            };
            let mut keyed: Vec<(f64, usize)> =
                group.iter().map(|node| (pull(*node), *node)).collect();
            keyed.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            *group = keyed.into_iter().map(|(_, node)| node).collect();
        }
        spread(&members, &mut place);
    }
    (0..nodes).map(|node| (layer[node] as f64 / last.max(1) as f64, place[node])).collect()
}

/// A path for each branch between the `points` of its nodes; parts between the same two are side by side.
pub(crate) fn paths(plumbing: &Plumbing, points: &[(i32, i32)]) -> Vec<Vec<(i32, i32)>> {
    let mut between = BTreeMap::new();
    let path = |branch: &sim_core::plumbing::Branch| {
        let pair = (branch.from.min(branch.to), branch.from.max(branch.to));
        let nth = between.entry(pair).or_insert(0);
        *nth += 1;
        bowed(points[branch.from.index()], points[branch.to.index()], *nth - 1)
    };
    plumbing.branches.iter().map(path).collect()
}

/// Number of parts between each node and the nearest tank; nodes no tank reaches come first.
fn layers(plumbing: &Plumbing, near: &[Vec<usize>]) -> Vec<usize> {
    let mut layer = vec![usize::MAX; near.len()];
    let tanks = (0..near.len()).filter(|node| plumbing.node(NodeId::at(*node)).tank.is_some());
    let mut queue: VecDeque<usize> = tanks.collect();
    queue.iter().for_each(|tank| layer[*tank] = 0);
    while let Some(node) = queue.pop_front() {
        for &other in &near[node] {
            if layer[other] == usize::MAX {
                layer[other] = layer[node] + 1;
                queue.push_back(other);
            }
        }
    }
    layer.into_iter().map(|layer| if layer == usize::MAX { 0 } else { layer }).collect()
}

/// Spreads the members of each layer evenly.
fn spread(members: &[Vec<usize>], place: &mut [f64]) {
    for group in members {
        for (k, node) in group.iter().enumerate() {
            place[*node] = (k as f64 + 0.5) / group.len() as f64;
        }
    }
}
