//! What is joined to what: branches and tips at each node, dead legs, the suction side, ways into tanks.

use super::{Branch, BranchId, NodeId, Plumbing, SectionId, Side, TankId};
use std::collections::VecDeque;

/// Neighbours of each node, and which lines are capped at one end.
#[derive(Clone, Debug)]
pub struct Topology {
    /// Branches that end at each node.
    pub(crate) branches_at: Vec<Vec<usize>>,
    /// Tips at each node.
    pub(crate) tips_at: Vec<Vec<usize>>,
    /// The open end of each line whose other end is capped.
    pub(crate) mouth: Vec<Option<usize>>,
}

impl Topology {
    /// The topology of `plumbing`.
    pub fn of(plumbing: &Plumbing) -> Self {
        let mut branches_at = vec![Vec::new(); plumbing.nodes.len()];
        for (i, branch) in plumbing.branches.iter().enumerate() {
            branches_at[branch.from.index()].push(i);
            branches_at[branch.to.index()].push(i);
        }
        let mut tips_at = vec![Vec::new(); plumbing.nodes.len()];
        for (i, tip) in plumbing.tips.iter().enumerate() {
            tips_at[tip.node.index()].push(i);
        }
        let is_cap = |node: NodeId| {
            let ends = branches_at[node.index()].len() + tips_at[node.index()].len();
            ends == 1 && plumbing.node(node).tank.is_none()
        };
        let mouth = |branch: &Branch| {
            branch.part.line()?;
            let mouth = if is_cap(branch.to) { Some(branch.from) } else { None };
            mouth.or_else(|| is_cap(branch.from).then_some(branch.to)).map(NodeId::index)
        };
        let mouth = plumbing.branches.iter().map(mouth).collect();
        Self { branches_at, tips_at, mouth }
    }

    /// Lines with one end capped: nothing flows through them in any step.
    pub fn dead_legs(&self) -> impl Iterator<Item = BranchId> + '_ {
        let legs = self.mouth.iter().enumerate().filter(|(_, mouth)| mouth.is_some());
        legs.map(|(i, _)| BranchId::at(i))
    }
}

impl Plumbing {
    /// Branches of the return side that end in a tank.
    pub fn returns(&self) -> impl Iterator<Item = BranchId> + '_ {
        let into_tank =
            |branch: &Branch| branch.side == Side::Return && self.node(branch.to).tank.is_some();
        let returns = self.branches.iter().enumerate().filter(move |(_, branch)| into_tank(branch));
        returns.map(|(i, _)| BranchId::at(i))
    }

    /// Whether a line of the return side serves `section`.
    pub(crate) fn section_returns(&self, section: SectionId) -> bool {
        let own = |branch: &&Branch| branch.side == Side::Return && branch.section == Some(section);
        self.branches.iter().any(|branch| own(&branch))
    }

    /// Whether each branch is on the way from a tank to a pump's inlet.
    pub fn suction_lines(&self) -> Vec<bool> {
        let topology = Topology::of(self);
        let pumps = self.branches.iter().filter(|branch| branch.part.pump().is_some());
        let mut open: Vec<NodeId> = pumps.map(|pump| pump.from).collect();
        let mut lines = vec![false; self.branches.len()];
        while let Some(node) = open.pop() {
            if self.node(node).tank.is_some() {
                continue;
            }
            for &i in &topology.branches_at[node.index()] {
                let branch = &self.branches[i];
                if branch.part.pump().is_none() && !std::mem::replace(&mut lines[i], true) {
                    open.extend([branch.from, branch.to]);
                }
            }
        }
        lines
    }

    /// The tank that each branch of the suction side is nearest to, branches counted; `None` for every other branch.
    pub(crate) fn suction_tanks(&self) -> Vec<Option<TankId>> {
        let (topology, suction) = (Topology::of(self), self.suction_lines());
        let tanks = self.nodes.iter().enumerate();
        let tanks = tanks.filter_map(|(node, at)| Some((node, at.tank?.tank)));
        let mut open: VecDeque<(usize, TankId)> = tanks.collect();
        let mut nearest = vec![None; self.branches.len()];
        while let Some((node, tank)) = open.pop_front() {
            for &i in topology.branches_at[node].iter().filter(|i| suction[**i]) {
                if nearest[i].is_none() {
                    nearest[i] = Some(tank);
                    let ends = [self.branches[i].from, self.branches[i].to].map(NodeId::index);
                    open.extend(ends.into_iter().filter(|end| *end != node).map(|end| (end, tank)));
                }
            }
        }
        nearest
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plumbing::{Line, Part, Pump, Sketch};

    #[test]
    fn a_capped_line_is_a_dead_leg_and_one_with_a_tip_is_not() {
        let mut sketch = Sketch::default();
        let tank = sketch.tank("tank", 1.0);
        let (top, tee) = (sketch.tank_node("top", tank, 0.5), sketch.node("tee", 0.0));
        let (cap, end) = (sketch.node("cap", 0.0), sketch.node("end", 0.0));
        for (name, ends) in [("feed", [top, tee]), ("stub", [cap, tee]), ("last", [tee, end])] {
            sketch.line(name, ends[0], ends[1], Line::plain(0.02, 1.0));
        }
        sketch.tip("tip", end, 1e-5, 3e5);
        let plumbing = sketch.finish();
        let topology = Topology::of(&plumbing);
        assert_eq!(topology.dead_legs().collect::<Vec<_>>(), vec![BranchId::at(1)]);
        assert_eq!(topology.mouth[1], Some(tee.index()));
        assert_eq!(plumbing.suction_lines(), vec![false; 3]);
    }

    #[test]
    fn suction_lines_know_the_tank_they_come_from() {
        let mut sketch = Sketch::default();
        let (spray, clean) = (sketch.tank("spray", 1.0), sketch.tank("clean", 1.0));
        let nodes = [sketch.tank_node("a", spray, 0.5), sketch.tank_node("b", clean, 0.5)];
        let (selector, pump) = (sketch.node("selector", 0.0), sketch.node("in", 0.0));
        let out = sketch.node("out", 0.0);
        for (name, from, to) in [
            ("spray hose", nodes[0], selector),
            ("clean hose", nodes[1], selector),
            ("last", selector, pump),
        ] {
            sketch.line(name, from, to, Line::plain(0.02, 1.0));
        }
        let part = Part::Pump(Pump::plain(&[(0.0, 40.0), (2e-3, 0.0)]));
        sketch.branch("pump", pump, out, part);
        sketch.line("on", out, nodes[0], Line::plain(0.02, 1.0));
        let from = sketch.finish().suction_tanks();
        assert_eq!(from, vec![Some(spray), Some(clean), Some(spray), None, None]);
    }
}
