//! Where a drawing shows that compressed air can enter.

use super::sheet::{Path, Sheet};
use sim_core::plumbing::{NodeId, Plumbing};

/// Length of the arrows: across and up.
const ARROW: (f64, f64) = (0.05, 13.0);

/// An arrow for each place where air can enter: into the end of a bar, or down onto a line.
pub(super) fn air_arrows(plumbing: &Plumbing, sheet: &Sheet) -> Vec<(NodeId, Path)> {
    let entries = plumbing.air.iter().flat_map(|air| &air.entries);
    let arrow = |node: NodeId| {
        if let Some((_, bar)) = sheet.bars.iter().find(|(of, _)| *of == node) {
            let (x, y) = bar[0];
            return Some(vec![(x - ARROW.0, y), (x, y)]);
        }
        let branches = || plumbing.branches.iter().zip(&sheet.paths);
        let start = branches().find(|(branch, _)| branch.from == node);
        let end = branches().find(|(branch, _)| branch.to == node);
        let start = start.and_then(|(_, path)| path.first());
        let &(x, y) = start.or_else(|| end.and_then(|(_, path)| path.last()))?;
        Some(vec![(x, y + ARROW.1), (x, y + 1.0)])
    };
    entries.filter_map(|entry| Some((entry.node, arrow(entry.node)?))).collect()
}
