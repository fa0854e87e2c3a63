//! Which nodes does no open way join to a given pressure?

use super::{NodeId, Plumbing};

/// Groups of nodes from which no branch that `passes` leads to a node that is `grounded`.
pub fn cut_off(
    plumbing: &Plumbing,
    passes: impl Fn(usize) -> bool,
    grounded: impl Fn(usize) -> bool,
) -> Vec<Vec<NodeId>> {
    let nodes = plumbing.nodes.len();
    let mut reached: Vec<bool> = (0..nodes).map(grounded).collect();
    loop {
        let mut changed = false;
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let (from, to) = (branch.from.index(), branch.to.index());
            if passes(i) && reached[from] != reached[to] {
                (reached[from], reached[to], changed) = (true, true, true);
            }
        }
        if !changed {
            break;
        }
    }
    let left: Vec<NodeId> = (0..nodes).filter(|node| !reached[*node]).map(NodeId::at).collect();
    if left.is_empty() { Vec::new() } else { vec![left] }
}
