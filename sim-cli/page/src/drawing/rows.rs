//! A network in rows: what is always possible.

use super::sheet::{Sheet, SheetPoint};
use sim_core::plumbing::{NodeId, Plumbing};

/// Where networks are on the sheet, and about how many px that is on a picture.
pub(super) const LOW: SheetPoint = (-0.98, -4.0);
pub(super) const HIGH: SheetPoint = (1.04, 96.0);
pub(super) const PX: (f64, f64) = (1397.0, 593.0);

/// Nodes in rows, one after the other, and lines straight between them.
pub(super) fn rows(plumbing: &Plumbing) -> Sheet {
    let across = (plumbing.nodes.len() as f64 * PX.0 / PX.1).sqrt().ceil().max(1.0);
    let down = (plumbing.nodes.len() as f64 / across).ceil().max(1.0);
    let at = |node: NodeId| {
        let (column, row) = (node.index() as f64 % across, (node.index() as f64 / across).floor());
        let share = |k: f64, of: f64, low: f64, high: f64| low + (k + 0.5) / of * (high - low);
        (share(column, across, LOW.0, HIGH.0), share(down - 1.0 - row, down, LOW.1, HIGH.1))
    };
    let nodes = (0..plumbing.nodes.len()).map(NodeId::at);
    Sheet {
        paths: plumbing.branches.iter().map(|b| vec![at(b.from), at(b.to)]).collect(),
        tips: plumbing.tips.iter().map(|tip| at(tip.node)).collect(),
        tanks: Vec::new(),
        bars: Vec::new(),
        air: Vec::new(),
        nodes: nodes.map(|node| (node, at(node))).collect(),
        boom: None,
    }
}
