//! Where the lines and parts of a boom machine run on the schematic.
//!
//! The boom lies across the sheet at its true positions; section hoses rise to it from the header below,
//! returns leave it upward, each in a lane of its own; tank, pump and what stands between them and the
//! header make the bottom row.

use sim_core::plumbing::{Branch, Machine, NodeId, Part, Plumbing, SectionId, Side};
use std::collections::{BTreeMap, VecDeque};

/// Heights on the sheet, 0 at the bottom to 100 at the top.
pub(crate) const TUBE: f64 = 62.0;
const HEADER: f64 = 30.0;
const RETURN_HEADER: f64 = 95.0;
const ROW: f64 = 12.0;
const LOWEST_LANE: f64 = 37.0;
const HIGHEST_LANE: f64 = 56.0;
const LOWEST_RETURN: f64 = 73.0;
const HIGHEST_RETURN: f64 = 90.0;
/// The tank's box as shares of half the boom, and its heights.
pub(crate) const TANK: ((f64, f64), (f64, f64)) = ((0.86, 5.5), (1.0, 19.0));
const ROW_STARTS: f64 = 0.86;
const RIGHT_EDGE: f64 = 1.06;
/// Height of the highest line under the row, the room for all of them, and most between two.
const HIGHEST_BELOW: f64 = 2.6;
const LANES_BELOW: f64 = 5.6;
const MOST_BELOW: f64 = 4.2;
/// Length of the arrows of air: across and up.
const ARROW: (f64, f64) = (0.05, 13.0);

/// A path on the sheet: x as a share of half the boom, y as a height.
pub(crate) type Path = Vec<(f64, f64)>;

/// Where a sheet is drawn, px: left, top, right, bottom.
pub(crate) type Canvas = (f64, f64, f64, f64);

/// Pixel of a point of the sheet on `canvas`.
pub(crate) fn placed((x, y): (f64, f64), (left, top, right, bottom): Canvas) -> (i32, i32) {
    let across = (x + 1.04) / 2.14;
    let up = share_of_height(y);
    ((left + across * (right - left)).round() as i32, (bottom - up * (bottom - top)).round() as i32)
}

/// Height `y` of the sheet as a share of a canvas's height.
pub(crate) fn share_of_height(y: f64) -> f64 {
    (y + 3.0) / 103.0
}

/// The sheet of a boom machine.
#[derive(Debug)]
pub(crate) struct Sheet {
    /// A path for each branch, along its positive direction.
    pub(crate) paths: Vec<Path>,
    /// Half the width of the boom, m.
    pub(crate) half_m: f64,
    /// Where the header stands.
    pub(crate) header: NodeId,
    /// Branches of the bottom row from the tank on.
    pub(crate) row: Vec<usize>,
    /// Headers drawn as bars: a node and the two ends of its bar.
    pub(crate) bars: Vec<(NodeId, Path)>,
    /// Arrows where compressed air can enter: a node, and from tail to head.
    pub(crate) air: Vec<(NodeId, Path)>,
}

impl Sheet {
    /// Middle between the first and the last tip of `section`, as a share of half the boom.
    pub(crate) fn middle_of(&self, plumbing: &Plumbing, section: SectionId) -> Option<f64> {
        let mut tips = plumbing.tips.iter().filter(|tip| tip.section == Some(section));
        let first = tips.next()?;
        let last = tips.next_back().unwrap_or(first);
        Some(0.5 * (first.x_m + last.x_m) / self.half_m)
    }

    /// The line that fills a bar at `node`: one of no section there, or the last line of the row.
    pub(crate) fn line_at(&self, plumbing: &Plumbing, node: NodeId) -> Option<usize> {
        let is_line = |i: &usize| plumbing.branches[*i].part.line().is_some();
        let touches =
            |i: &usize| [plumbing.branches[*i].from, plumbing.branches[*i].to].contains(&node);
        let at_node: Vec<usize> =
            (0..plumbing.branches.len()).filter(is_line).filter(touches).collect();
        let shared = at_node.iter().find(|i| plumbing.branches[**i].section.is_none()).copied();
        let of_row =
            || self.row.iter().rev().copied().find(is_line).filter(|_| node == self.header);
        shared.or_else(of_row).or_else(|| at_node.first().copied())
    }
}

/// The sheet of `machine`, if it is built like a boom machine.
pub(crate) fn sheet(machine: &Machine) -> Option<Sheet> {
    let plumbing = &machine.plumbing;
    let on_boom = |branch: &&Branch| branch.side == Side::Boom;
    let ends = plumbing.branches.iter().filter(on_boom).flat_map(|b| [b.from, b.to]);
    let half_m = ends.filter_map(|end| plumbing.node(end).x_m).map(f64::abs).fold(0.0, f64::max);
    let header = machine.roles.header?;
    if half_m == 0.0 {
        return None;
    }
    let mut work =
        RouteDraft { plumbing, half_m, paths: vec![Vec::new(); plumbing.branches.len()] };
    work.tubes()?;
    work.supply()?;
    let row = work.row(header)?;
    work.back_to_tank(&row);
    work.returns()?;
    let done = work.paths.iter().all(|path| path.len() > 1);
    let mut bars = vec![(header, work.bar(Side::Feed, HEADER, 1))];
    bars.extend(
        machine.roles.return_header.map(|node| (node, work.bar(Side::Return, RETURN_HEADER, 3))),
    );
    let air = work.air(&bars);
    done.then_some(Sheet { paths: work.paths, half_m, header, row, bars, air })
}

struct RouteDraft<'a> {
    plumbing: &'a Plumbing,
    half_m: f64,
    paths: Vec<Path>,
}

impl RouteDraft<'_> {
    fn x(&self, node: NodeId) -> Option<f64> {
        self.plumbing.node(node).x_m.map(|x| x / self.half_m)
    }

    fn of_side(&self, side: Side, sectional: bool) -> Vec<usize> {
        let fits = |b: &Branch| b.side == side && b.section.is_some() == sectional;
        let branches = self.plumbing.branches.iter().enumerate();
        branches.filter(|(_, branch)| fits(branch)).map(|(i, _)| i).collect()
    }

    fn tubes(&mut self) -> Option<()> {
        for i in self.of_side(Side::Boom, true) {
            let branch = &self.plumbing.branches[i];
            self.paths[i] = vec![(self.x(branch.from)?, TUBE), (self.x(branch.to)?, TUBE)];
        }
        Some(())
    }

    /// Section valves at the header and hoses up to the tubes.
    fn supply(&mut self) -> Option<()> {
        let feed = self.of_side(Side::Feed, true);
        let is_line = |i: &&usize| self.plumbing.branches[**i].part.line().is_some();
        let hoses: Vec<usize> = feed.iter().filter(is_line).copied().collect();
        let entries: Option<Vec<(usize, f64)>> =
            hoses.iter().map(|i| Some((*i, self.x(self.plumbing.branches[*i].to)?))).collect();
        let entries = entries.map(|ends| self.with_side(ends));
        let valves: BTreeMap<NodeId, usize> = feed
            .iter()
            .filter(|i| !hoses.contains(i))
            .map(|i| (self.plumbing.branches[*i].to, *i))
            .collect();
        for (hose, lane, riser, x) in lanes(entries?, HIGHEST_LANE, LOWEST_LANE) {
            let start = HEADER + 4.0;
            self.paths[hose] = vec![(riser, start), (riser, lane), (x, lane), (x, TUBE)];
            let valve = *valves.get(&self.plumbing.branches[hose].from)?;
            self.paths[valve] = vec![(riser, HEADER), (riser, start)];
        }
        Some(())
    }

    /// The chain from tank to header along the bottom; its branches in order.
    fn row(&mut self, header: NodeId) -> Option<Vec<usize>> {
        let chain = self.chain_to(header)?;
        let step = ROW_STARTS / chain.len() as f64;
        for (k, &i) in chain.iter().enumerate() {
            let x = |k: usize| ROW_STARTS - step * k as f64;
            let last = k + 1 == chain.len();
            let mut path = vec![(x(k), ROW), (if last { 0.0 } else { x(k + 1) }, ROW)];
            if last {
                path.push((0.0, HEADER));
            }
            self.paths[i] = path;
        }
        Some(chain)
    }

    /// Branches from a tank to `header` over suction and feed, fewest first.
    fn chain_to(&self, header: NodeId) -> Option<Vec<usize>> {
        let mut along = self.of_side(Side::Suction, false);
        along.extend(self.of_side(Side::Feed, false));
        let tanks = (0..self.plumbing.nodes.len()).map(NodeId::at);
        let mut queue: VecDeque<NodeId> =
            tanks.filter(|n| self.plumbing.node(*n).tank.is_some()).collect();
        let mut came_by: BTreeMap<NodeId, usize> = BTreeMap::new();
        while let Some(node) = queue.pop_front() {
            for &i in &along {
                let branch = &self.plumbing.branches[i];
                let fresh = branch.from == node && !came_by.contains_key(&branch.to);
                if fresh && self.plumbing.node(branch.to).tank.is_none() {
                    came_by.insert(branch.to, i);
                    queue.push_back(branch.to);
                }
            }
        }
        let mut chain = Vec::new();
        let mut node = header;
        while let Some(&i) = came_by.get(&node) {
            chain.push(i);
            node = self.plumbing.branches[i].from;
        }
        chain.reverse();
        (!chain.is_empty() && chain.len() == along.len()).then_some(chain)
    }

    /// Agitation, bypass, relief and the way back of the air: under the row into the tank from below.
    fn back_to_tank(&mut self, row: &[usize]) {
        let place: BTreeMap<NodeId, f64> =
            row.iter().map(|&i| (self.plumbing.branches[i].to, self.paths[i][1].0)).collect();
        let back = self.of_side(Side::Tank, false);
        let starts = |i: &&usize| place.contains_key(&self.plumbing.branches[**i].from);
        let chains: Vec<Vec<usize>> =
            back.iter().filter(starts).map(|i| self.onward(*i, &back)).collect();
        let between = LANES_BELOW / chains.len().saturating_sub(1).max(1) as f64;
        for (k, chain) in chains.iter().enumerate() {
            let Some(&x) = place.get(&self.plumbing.branches[chain[0]].from) else { continue };
            let depth = HIGHEST_BELOW - between.min(MOST_BELOW) * k as f64;
            let into = TANK.0.0 + 0.03 + 0.035 * k as f64;
            // All but the last share the way down.
            let height = |j: usize| ROW + (depth - ROW) * j as f64 / chain.len() as f64;
            for (j, &i) in chain.iter().enumerate() {
                self.paths[i] = vec![(x, height(j)), (x, height(j + 1))];
            }
            if let Some(&last) = chain.last() {
                self.paths[last].extend([(into, depth), (into, TANK.0.1)]);
            }
        }
    }

    /// `first` and what follows it among `branches`, one after the other.
    fn onward(&self, first: usize, branches: &[usize]) -> Vec<usize> {
        let mut chain = vec![first];
        let mut node = self.plumbing.branches[first].to;
        let follows = |node: NodeId| {
            branches.iter().copied().find(|i| self.plumbing.branches[*i].from == node)
        };
        while let Some(next) = follows(node).filter(|next| !chain.contains(next)) {
            chain.push(next);
            node = self.plumbing.branches[next].to;
        }
        chain
    }

    /// An arrow for each place where air can enter: into the end of a bar, or down onto the row.
    fn air(&self, bars: &[(NodeId, Path)]) -> Vec<(NodeId, Path)> {
        let entries = self.plumbing.air.iter().flat_map(|air| &air.entries);
        let arrow = |node: NodeId| {
            if let Some((_, bar)) = bars.iter().find(|(of, _)| *of == node) {
                let (x, y) = bar[0];
                return Some(vec![(x - ARROW.0, y), (x, y)]);
            }
            let starts = |i: &usize| self.plumbing.branches[*i].from == node;
            let ends = |i: &usize| self.plumbing.branches[*i].to == node;
            let all = 0..self.plumbing.branches.len();
            let start = all.clone().find(starts).and_then(|i| self.paths[i].first());
            let &(x, y) =
                start.or_else(|| all.clone().find(ends).and_then(|i| self.paths[i].last()))?;
            Some(vec![(x, y + ARROW.1), (x, y + 1.0)])
        };
        entries.filter_map(|entry| Some((entry.node, arrow(entry.node)?))).collect()
    }

    /// Return hoses up and inward, and the return main around the right end down to the tank.
    fn returns(&mut self) -> Option<()> {
        let hoses = self.of_side(Side::Return, true);
        let leaves: Option<Vec<(usize, f64)>> =
            hoses.iter().map(|i| Some((*i, self.x(self.plumbing.branches[*i].from)?))).collect();
        let leaves = leaves.map(|ends| self.with_side(ends));
        for (hose, lane, riser, x) in lanes(leaves?, LOWEST_RETURN, HIGHEST_RETURN) {
            self.paths[hose] = vec![(x, TUBE), (x, lane), (riser, lane), (riser, RETURN_HEADER)];
        }
        let main = self.of_side(Side::Return, false);
        let part = |i: &usize| !matches!(self.plumbing.branches[*i].part, Part::Line(_));
        let parts = main.iter().filter(|i| part(i)).count();
        let lines = main.len() - parts;
        // The chain leaves the right end of the return header's bar.
        let mut x = 0.18;
        let mut lines_left = lines;
        for i in main {
            let is_line = self.plumbing.branches[i].part.line().is_some();
            lines_left -= usize::from(is_line);
            if is_line && lines_left == 0 {
                let right = RIGHT_EDGE;
                let down = [(right, RETURN_HEADER), (right, ROW), (TANK.1.0, ROW)];
                self.paths[i] = [(x, RETURN_HEADER)].into_iter().chain(down).collect();
            } else {
                self.paths[i] = vec![(x, RETURN_HEADER), (x + 0.12, RETURN_HEADER)];
                x += 0.12;
            }
        }
        Some(())
    }

    /// `ends` with whether each belongs to the left wing, by the middle of its section's tips.
    fn with_side(&self, ends: Vec<(usize, f64)>) -> Vec<(usize, f64, bool)> {
        let sections = self.plumbing.sections.len();
        let mut sum = vec![0.0; sections];
        for tip in &self.plumbing.tips {
            if let Some(section) = tip.section {
                sum[section.index()] += tip.x_m;
            }
        }
        let left =
            |i: usize| self.plumbing.branches[i].section.is_some_and(|s| sum[s.index()] < 0.0);
        ends.into_iter().map(|(i, x)| (i, x, left(i))).collect()
    }

    /// The bar at height `y` under the risers of a side's sectional branches, whose end there is point
    /// number `point` of their paths.
    fn bar(&self, side: Side, y: f64, point: usize) -> Path {
        let risers = self.of_side(side, true).into_iter().filter_map(|i| {
            let path = self.paths[i].get(point.min(self.paths[i].len().saturating_sub(1)))?;
            Some(path.0).filter(|_| side == Side::Return || self.paths[i].len() == 2)
        });
        let risers: Vec<f64> = risers.chain([0.0]).collect();
        let (low, high) = risers.iter().fold((0.0f64, 0.0f64), |(l, h), x| (l.min(*x), h.max(*x)));
        let high = if side == Side::Return { 0.18 } else { high + 0.004 };
        vec![(low - 0.004, y), (high, y)]
    }
}

/// A lane and a riser at the centre for each of `ends` (branch and x): the innermost in the lane at
/// `inner`, the outermost at `outer`, so that none crosses another.
fn lanes(ends: Vec<(usize, f64, bool)>, inner: f64, outer: f64) -> Vec<(usize, f64, f64, f64)> {
    let mut laid = Vec::new();
    for left in [true, false] {
        let wing = ends.iter().filter(|(_, _, is_left)| *is_left == left);
        let mut side: Vec<(usize, f64)> = wing.map(|(i, x, _)| (*i, *x)).collect();
        side.sort_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        let count = side.len();
        let step = (outer - inner) / count.max(5) as f64;
        let gap = (0.16 / count.max(4) as f64).min(0.03);
        for (k, (branch, x)) in side.into_iter().enumerate() {
            let riser = gap * (k as f64 + 0.5) * if left { -1.0 } else { 1.0 };
            laid.push((branch, inner + step * k as f64, riser, x));
        }
    }
    laid
}
