//! Which nodes does no open way join to a given pressure?

use super::{BranchId, NodeId, Plumbing};

/// Groups of nodes that no branch which `passes` joins to a node that is `grounded`,
/// each group joined among itself. Nodes and groups are in the order of the plumbing's nodes.
pub(crate) fn cut_off(
    plumbing: &Plumbing,
    passes: impl Fn(BranchId) -> bool,
    grounded: impl Fn(NodeId) -> bool,
) -> Vec<Vec<NodeId>> {
    let nodes = plumbing.nodes.len();
    let mut groups = Groups::new(nodes);
    let open = plumbing.branches.iter().enumerate().filter(|(i, _)| passes(BranchId::at(*i)));
    open.for_each(|(_, branch)| groups.join(branch.from.index(), branch.to.index()));
    let mut has_ground = vec![false; nodes];
    for node in (0..nodes).filter(|node| grounded(NodeId::at(*node))) {
        has_ground[groups.root(node)] = true;
    }
    let mut island_of = vec![usize::MAX; nodes];
    let mut islands: Vec<Vec<NodeId>> = Vec::new();
    for node in 0..nodes {
        let root = groups.root(node);
        if has_ground[root] {
            continue;
        }
        if island_of[root] == usize::MAX {
            island_of[root] = islands.len();
            islands.push(Vec::new());
        }
        islands[island_of[root]].push(NodeId::at(node));
    }
    islands
}

/// Whether something that starts at `start` and goes through branches as `passes` allows, in a
/// branch's positive and its negative direction, comes to a node that is a `goal`.
pub(crate) fn reaches(
    plumbing: &Plumbing,
    start: NodeId,
    passes: impl Fn(BranchId) -> [bool; 2],
    goal: impl Fn(NodeId) -> bool,
) -> bool {
    let mut next: Vec<Vec<usize>> = vec![Vec::new(); plumbing.nodes.len()];
    for (i, branch) in plumbing.branches.iter().enumerate() {
        let (from, to) = (branch.from.index(), branch.to.index());
        for (here, there) in passes(BranchId::at(i))
            .into_iter()
            .zip([(from, to), (to, from)])
            .filter(|p| p.0)
            .map(|p| p.1)
        {
            next[here].push(there);
        }
    }
    let mut seen = vec![false; plumbing.nodes.len()];
    let mut open = vec![start.index()];
    while let Some(node) = open.pop() {
        if goal(NodeId::at(node)) {
            return true;
        }
        if !std::mem::replace(&mut seen[node], true) {
            open.extend(&next[node]);
        }
    }
    false
}

/// Disjoint groups of nodes (union-find with path halving, Tarjan 1975).
struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    fn new(nodes: usize) -> Self {
        Self { parent: (0..nodes).collect() }
    }

    fn root(&mut self, mut node: usize) -> usize {
        while self.parent[node] != node {
            self.parent[node] = self.parent[self.parent[node]];
            node = self.parent[node];
        }
        node
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.parent[a.max(b)] = a.min(b);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plumbing::{Line, Sketch};

    #[test]
    fn a_shut_branch_leaves_what_lies_behind_it_cut_off() {
        let mut sketch = Sketch::default();
        let nodes: Vec<NodeId> = (0..4).map(|i| sketch.node(&format!("n{i}"), 0.0)).collect();
        for (i, pair) in nodes.windows(2).enumerate() {
            sketch.line(&format!("l{i}"), pair[0], pair[1], Line::plain(0.02, 1.0));
        }
        let plumbing = sketch.finish();
        assert!(cut_off(&plumbing, |_| true, |node| node == nodes[0]).is_empty());
        let islands =
            cut_off(&plumbing, |branch| branch != BranchId::at(1), |node| node == nodes[0]);
        assert_eq!(islands, vec![vec![nodes[2], nodes[3]]]);
    }

    #[test]
    fn what_passes_one_way_only_comes_back_by_no_way() {
        let mut sketch = Sketch::default();
        let nodes: Vec<NodeId> = (0..3).map(|i| sketch.node(&format!("n{i}"), 0.0)).collect();
        for (i, pair) in nodes.windows(2).enumerate() {
            sketch.line(&format!("l{i}"), pair[0], pair[1], Line::plain(0.02, 1.0));
        }
        let plumbing = sketch.finish();
        let one_way = |_| [true, false];
        assert!(reaches(&plumbing, nodes[0], one_way, |node| node == nodes[2]));
        assert!(!reaches(&plumbing, nodes[2], one_way, |node| node == nodes[0]));
        assert!(reaches(&plumbing, nodes[2], |_| [true, true], |node| node == nodes[0]));
    }
}
