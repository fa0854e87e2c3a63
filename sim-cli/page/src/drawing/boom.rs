//! Where the lines and parts of a boom machine run.
//!
//! The boom lies across the sheet at its true positions; section hoses rise to it from the header below,
//! returns leave it upward, each in a lane of its own; tank, pump and what stands between them and the
//! header make the bottom row. What is no part of this is a stranger, and attached afterwards.

use super::air_arrows::air_arrows;
use super::sheet::{BoomSheet, Path, Sheet, SheetPoint, TUBE, TankBox};
use super::strangers::attach;
use sim_core::plumbing::{Branch, Machine, NodeId, Plumbing, Side, TankId};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Heights on the sheet.
const HEADER: f64 = 30.0;
const RETURN_HEADER: f64 = 95.0;
const ROW: f64 = 12.0;
const LOWEST_LANE: f64 = 37.0;
const HIGHEST_LANE: f64 = 56.0;
const LOWEST_RETURN: f64 = 73.0;
const HIGHEST_RETURN: f64 = 90.0;
/// The tank's corners as shares of half the boom, and heights.
const TANK: [SheetPoint; 2] = [(0.86, 5.5), (1.0, 19.0)];
const ROW_STARTS: f64 = 0.86;
const RIGHT_EDGE: f64 = 1.06;
/// Height of the highest line under the row, the room for all of them, and most between two.
const HIGHEST_BELOW: f64 = 2.6;
const ROOM_BELOW: f64 = 8.2;
const MOST_BELOW: f64 = 4.1;
/// Right end of the return header's bar, and the length of a part behind it.
const RETURN_ENDS: f64 = 0.18;
const RETURN_PART: f64 = 0.12;

/// The sheet of `machine`, if it is built like a boom machine, whatever else is joined to it.
pub(super) fn sheet(machine: &Machine) -> Option<Sheet> {
    let plumbing = &machine.plumbing;
    let on_boom = |branch: &&Branch| branch.side == Side::Boom && branch.section.is_some();
    let ends = plumbing.branches.iter().filter(on_boom).flat_map(|b| [b.from, b.to]);
    let half_m = ends.filter_map(|end| plumbing.node(end).x_m).map(f64::abs).fold(0.0, f64::max);
    let header = machine.roles.header?;
    if half_m == 0.0 {
        return None;
    }
    let mut work =
        BoomRoutes { plumbing, half_m, paths: vec![Vec::new(); plumbing.branches.len()] };
    work.tubes();
    work.supply(header);
    let row = work.row(machine)?;
    let tank = plumbing.node(plumbing.branches[row[0]].from).tank?.tank;
    work.back_to_tank(&row);
    work.returns(machine.roles.return_header);
    let mut bars = vec![(header, work.bar(Side::Feed, HEADER, 1))];
    bars.extend(
        machine.roles.return_header.map(|node| (node, work.bar(Side::Return, RETURN_HEADER, 3))),
    );
    let strangers: Vec<usize> =
        (0..work.paths.len()).filter(|i| work.paths[*i].is_empty()).collect();
    let mut sheet = Sheet {
        air: Vec::new(),
        tips: Vec::new(),
        tanks: vec![TankBox { tank, corners: TANK }],
        nodes: Vec::new(),
        bars,
        paths: work.paths,
        boom: Some(BoomSheet { half_m, header, row, strangers }),
    };
    let places = attach(plumbing, &mut sheet)?;
    sheet.air = air_arrows(plumbing, &sheet);
    let tubes = plumbing.branches.iter().filter(on_boom).flat_map(|b| [b.from, b.to]);
    let tubes: BTreeSet<NodeId> = tubes.collect();
    let foot = |tip: &sim_core::plumbing::Tip| {
        let elsewhere = places[tip.node.index()].filter(|_| !tubes.contains(&tip.node));
        elsewhere.unwrap_or((tip.x_m / half_m, TUBE))
    };
    sheet.tips = plumbing.tips.iter().map(foot).collect();
    Some(sheet)
}

struct BoomRoutes<'a> {
    plumbing: &'a Plumbing,
    half_m: f64,
    /// A path for each branch; empty for those that are no part of the usual boom.
    paths: Vec<Path>,
}

impl BoomRoutes<'_> {
    fn x(&self, node: NodeId) -> Option<f64> {
        self.plumbing.node(node).x_m.map(|x| x / self.half_m)
    }

    fn of_side(&self, side: Side, sectional: bool) -> Vec<usize> {
        let fits = |b: &Branch| b.side == side && b.section.is_some() == sectional;
        let branches = self.plumbing.branches.iter().enumerate();
        branches.filter(|(_, branch)| fits(branch)).map(|(i, _)| i).collect()
    }

    fn is_line(&self, i: usize) -> bool {
        self.plumbing.branches[i].part.line().is_some()
    }

    fn tubes(&mut self) {
        for i in self.of_side(Side::Boom, true) {
            let branch = &self.plumbing.branches[i];
            if let (Some(from), Some(to)) = (self.x(branch.from), self.x(branch.to)) {
                self.paths[i] = vec![(from, TUBE), (to, TUBE)];
            }
        }
    }

    /// Section valves at the header and hoses up to the tubes.
    fn supply(&mut self, header: NodeId) {
        let at_header = |i: &usize| self.plumbing.branches[*i].from == header;
        let feed = self.of_side(Side::Feed, true);
        let (hoses, parts): (Vec<usize>, Vec<usize>) =
            feed.into_iter().partition(|i| self.is_line(*i));
        let valves: BTreeMap<NodeId, usize> = parts
            .into_iter()
            .filter(at_header)
            .map(|i| (self.plumbing.branches[i].to, i))
            .collect();
        let entry = |i: &usize| {
            let branch = &self.plumbing.branches[*i];
            valves.get(&branch.from)?;
            Some((*i, self.x(branch.to)?))
        };
        let entries = self.with_side(hoses.iter().filter_map(entry).collect());
        for (hose, lane, riser, x) in lanes(entries, HIGHEST_LANE, LOWEST_LANE) {
            let start = HEADER + 4.0;
            let valve = valves[&self.plumbing.branches[hose].from];
            self.paths[hose] = vec![(riser, start), (riser, lane), (x, lane), (x, TUBE)];
            self.paths[valve] = vec![(riser, HEADER), (riser, start)];
        }
    }

    /// The chain from tank to header along the bottom; its branches in order.
    fn row(&mut self, machine: &Machine) -> Option<Vec<usize>> {
        let (header, own) = (machine.roles.header?, machine.roles.tank);
        let chain = self.chain_to(header, |tank| own.is_none_or(|own| own == tank));
        let chain = chain.or_else(|| self.chain_to(header, |_| true))?;
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

    /// Branches from a tank that `counts` to `header` over suction and feed, as few as can be.
    fn chain_to(&self, header: NodeId, counts: impl Fn(TankId) -> bool) -> Option<Vec<usize>> {
        let mut along = self.of_side(Side::Suction, false);
        along.extend(self.of_side(Side::Feed, false));
        let tanks = (0..self.plumbing.nodes.len()).map(NodeId::at);
        let starts = |node: &NodeId| self.plumbing.node(*node).tank.is_some_and(|c| counts(c.tank));
        let mut queue: VecDeque<NodeId> = tanks.filter(starts).collect();
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
        (!chain.is_empty()).then_some(chain)
    }

    /// Agitation, bypass, relief and the way back of the air: under the row into the tank from below.
    fn back_to_tank(&mut self, row: &[usize]) {
        let place: BTreeMap<NodeId, f64> =
            row.iter().map(|&i| (self.plumbing.branches[i].to, self.paths[i][1].0)).collect();
        let tank = self.plumbing.node(self.plumbing.branches[row[0]].from).tank;
        let back = self.of_side(Side::Tank, false);
        let starts = |i: &&usize| place.contains_key(&self.plumbing.branches[**i].from);
        let ends = |chain: &Vec<usize>| {
            let last = &self.plumbing.branches[chain[chain.len() - 1]];
            self.plumbing.node(last.to).tank == tank
        };
        let chains: Vec<Vec<usize>> =
            back.iter().filter(starts).map(|i| self.onward(*i, &back)).filter(ends).collect();
        let between = ROOM_BELOW / chains.len().saturating_sub(1).max(1) as f64;
        for (k, chain) in chains.iter().enumerate() {
            let x = place[&self.plumbing.branches[chain[0]].from];
            let depth = HIGHEST_BELOW - between.min(MOST_BELOW) * k as f64;
            let into = TANK[0].0 + 0.11 * (k as f64 + 1.0) / (chains.len() as f64 + 1.0) + 0.015;
            // All but the last share the way down.
            let height = |j: usize| ROW + (depth - ROW) * j as f64 / chain.len() as f64;
            for (j, &i) in chain.iter().enumerate() {
                self.paths[i] = vec![(x, height(j)), (x, height(j + 1))];
            }
            self.paths[chain[chain.len() - 1]].extend([(into, depth), (into, TANK[0].1)]);
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

    /// Return hoses up and inward, and from the right end of their header around to the tank what ends there.
    fn returns(&mut self, header: Option<NodeId>) {
        let Some(header) = header else { return };
        let hoses = self.of_side(Side::Return, true).into_iter();
        let leave = |i: usize| {
            let branch = &self.plumbing.branches[i];
            Some((i, self.x(branch.from)?)).filter(|_| branch.to == header)
        };
        let leaves = self.with_side(hoses.filter_map(leave).collect());
        for (hose, lane, riser, x) in lanes(leaves, LOWEST_RETURN, HIGHEST_RETURN) {
            self.paths[hose] = vec![(x, TUBE), (x, lane), (riser, lane), (riser, RETURN_HEADER)];
        }
        let main = self.of_side(Side::Return, false);
        let first = main.iter().copied().find(|i| self.plumbing.branches[*i].from == header);
        let Some(chain) = first.map(|first| self.onward(first, &main)) else { return };
        let ends = self.plumbing.branches[chain[chain.len() - 1]].to;
        if self.plumbing.node(ends).tank.is_none() {
            return;
        }
        let piece = RETURN_PART.min((RIGHT_EDGE - RETURN_ENDS) / chain.len() as f64);
        let mut x = RETURN_ENDS;
        for &i in &chain {
            self.paths[i] = vec![(x, RETURN_HEADER), (x + piece, RETURN_HEADER)];
            x += piece;
        }
        let last = &mut self.paths[chain[chain.len() - 1]];
        last.truncate(1);
        last.extend([(RIGHT_EDGE, RETURN_HEADER), (RIGHT_EDGE, ROW), (TANK[1].0, ROW)]);
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
        let high = if side == Side::Return { RETURN_ENDS } else { high + 0.004 };
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
