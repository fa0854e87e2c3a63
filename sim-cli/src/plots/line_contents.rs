//! How do the lines look at a moment of a run: where is air, where liquid, and of what concentration?

use super::plan::{Look, Looks, Plan};
use super::theme::RGBColor;
use super::timeline::Run;
use crate::drawing::map_colour;
use sim_core::plumbing::{NodeId, Part, Plumbing, Side};
use sim_core::simulation::Sample;

/// Share of air below which a line counts as full, and above which as empty.
const FULL_BELOW: f32 = 0.01;
const EMPTY_ABOVE: f32 = 0.97;
/// Share of a line by which its liquid must rise to count as a column again, not as a wet wall: what tells
/// the two apart best at the ends of steps, where the record knows them.
const FLOODED: f32 = 0.2;
/// Share of air that a line has at least when air has broken through it.
const THROUGH_ABOVE: f32 = 0.3;
/// Share of air from which a short line counts as no longer full.
const NOT_FULL_ABOVE: f32 = 0.1;

/// The looks at the samples numbered `wanted`, in that order; the numbers rise.
pub(super) fn looks_at(run: &Run<'_>, plan: &Plan, wanted: &[usize]) -> Vec<Looks> {
    let plumbing = &run.scenario.machine.plumbing;
    let eye = Eye::of(plumbing, plan);
    let mut broken = Broken::new(plumbing);
    let mut looks = Vec::new();
    for (place, (step, sample)) in run.samples().enumerate() {
        broken.look(run, step, sample);
        if wanted.contains(&place) {
            let inlet = run.scenario.course.steps[step].purge.map(|purge| purge.node);
            looks.push(eye.looks(sample, &broken, inlet));
        }
    }
    looks
}

/// Lines that air has broken through and that did not fill again since.
struct Broken {
    lines: Vec<bool>,
    /// The largest share of air in each line since air broke through it; nothing before.
    driest: Vec<Option<f32>>,
}

impl Broken {
    fn new(plumbing: &Plumbing) -> Self {
        let count = plumbing.branches.len();
        Self { lines: vec![false; count], driest: vec![None; count] }
    }

    /// Looks at the next sample, of `step`.
    fn look(&mut self, run: &Run<'_>, step: usize, sample: &Sample) {
        let record = run.moved(step).and_then(|moved| moved.air.as_ref());
        let (Some(record), Some(air)) = (record, &sample.air) else {
            self.lines.fill(false);
            self.driest.fill(None);
            return;
        };
        let time_s = sample.time_s - run.record.steps[step].start_s;
        for (i, (through_s, &share)) in record.broken_through_s.iter().zip(&air.shares).enumerate()
        {
            // The record tells the first time alone: a line that filled up since is not through.
            let through = through_s.is_some_and(|at| at <= time_s + 1e-9);
            let now = through && share > THROUGH_ABOVE;
            let driest = self.driest[i].filter(|_| share > FULL_BELOW);
            self.driest[i] = driest.or(now.then_some(share)).map(|driest| driest.max(share));
            self.lines[i] = self.driest[i].is_some_and(|driest| share > driest - FLOODED);
        }
    }
}

/// Whether each tip is in air, at every sample of `run`: neither line beside it is full. Nothing where no
/// air takes part.
pub(super) fn empty_tips(run: &Run<'_>) -> Vec<Vec<bool>> {
    let plumbing = &run.scenario.machine.plumbing;
    let mut beside = vec![Vec::new(); plumbing.nodes.len()];
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if branch.part.line().is_some() {
            beside[branch.from.index()].push(i);
            beside[branch.to.index()].push(i);
        }
    }
    let mut empty = Vec::new();
    for (_, sample) in run.samples() {
        let Some(air) = &sample.air else {
            empty.push(Vec::new());
            continue;
        };
        let in_air = |i: &usize| air.shares[*i] > NOT_FULL_ABOVE;
        let tip = |node: NodeId| {
            let lines = &beside[node.index()];
            !lines.is_empty() && lines.iter().all(in_air)
        };
        empty.push(plumbing.tips.iter().map(|of| tip(of.node)).collect());
    }
    empty
}

/// What every moment of a run is looked at with.
struct Eye<'a> {
    plumbing: &'a Plumbing,
    /// For each node, the lines that meet there, over parts that let air pass.
    lines_at: Vec<Vec<usize>>,
    /// The line that fills each bar.
    beside: Vec<(NodeId, Option<usize>)>,
    tank: Option<usize>,
}

impl<'a> Eye<'a> {
    fn of(plumbing: &'a Plumbing, plan: &Plan) -> Self {
        let first = plan.sheet.row.first().map(|i| plumbing.branches[*i].from);
        Self {
            plumbing,
            lines_at: lines_at(plumbing),
            beside: plan
                .sheet
                .bars
                .iter()
                .map(|(node, _)| (*node, plan.sheet.line_at(plumbing, *node)))
                .collect(),
            tank: first.and_then(|node| plumbing.node(node).tank).map(|of| of.tank.index()),
        }
    }

    fn looks(&self, sample: &Sample, broken: &Broken, inlet: Option<NodeId>) -> Looks {
        let lines: Vec<Look> = (0..self.plumbing.branches.len())
            .map(|i| self.look(sample, i, broken, inlet))
            .collect();
        // A bar that any line brings air to holds air.
        let at = |i: usize, node: NodeId| match lines[i] {
            Look::Split { at_start, colour, .. } => {
                let starts_here = self.plumbing.branches[i].from == node;
                if at_start == starts_here { Look::Air } else { Look::Full(colour) }
            }
            look => look,
        };
        let bar = |(node, line): &(NodeId, Option<usize>)| {
            let mut others = self.lines_at[node.index()].iter();
            if others.any(|i| at(*i, *node) == Look::Air) {
                return Look::Air;
            }
            line.map_or(Look::Unseen, |i| at(i, *node))
        };
        let bars = self.beside.iter().map(bar).collect();
        let tank = self.tank.and_then(|i| colour(sample.tanks[i]));
        Looks { lines, bars, tank, air: inlet }
    }

    fn look(&self, sample: &Sample, i: usize, broken: &Broken, inlet: Option<NodeId>) -> Look {
        if self.plumbing.branches[i].part.line().is_none() {
            return Look::Unseen;
        }
        let share = sample.air.as_ref().map_or(0.0, |air| air.shares[i]);
        let colour = colour(sample.lines[i]);
        match colour {
            _ if broken.lines[i] || share > EMPTY_ABOVE => Look::Air,
            None => Look::Unseen,
            Some(colour) if share < FULL_BELOW => Look::Full(colour),
            Some(colour) => {
                let at_start = self.air_at_start(sample, i, inlet);
                // Beside a column that came back the wall is wet.
                let air = share / broken.driest[i].unwrap_or(1.0);
                Look::Split { air: f64::from(air), at_start, colour }
            }
        }
    }

    /// Whether the air of line `i` is at its start: while air blows, that is where it comes from; else
    /// it stands where there is more of it.
    fn air_at_start(&self, sample: &Sample, i: usize, inlet: Option<NodeId>) -> bool {
        let branch = &self.plumbing.branches[i];
        if let Some(inlet) = inlet {
            return branch.side == Side::Tank || !self.is_return(inlet);
        }
        self.air_at(sample, i, branch.from) > self.air_at(sample, i, branch.to)
    }

    /// Whether `node` lies on the return side, so that air from there runs against the usual way.
    fn is_return(&self, node: NodeId) -> bool {
        let mut branches = self.plumbing.branches.iter();
        branches.any(|b| b.side == Side::Return && [b.from, b.to].contains(&node))
    }

    /// The largest share of air in the lines that meet line `i` at `node`.
    fn air_at(&self, sample: &Sample, i: usize, node: NodeId) -> f32 {
        let Some(air) = &sample.air else { return 0.0 };
        let others = self.lines_at[node.index()].iter().filter(|other| **other != i);
        others.map(|other| air.shares[*other]).fold(0.0, f32::max)
    }
}

/// Colour of `strength`; `None` where no liquid is followed.
fn colour(concentration: f32) -> Option<RGBColor> {
    (!concentration.is_nan()).then(|| map_colour(f64::from(concentration)))
}

/// For each node, the lines that meet there, over parts that let air pass.
fn lines_at(plumbing: &Plumbing) -> Vec<Vec<usize>> {
    let passes =
        |part: &Part| part.line().is_none() && !matches!(part, Part::Pump(_) | Part::CheckValve(_));
    // Nodes on both sides of a part count as one: the lowest of them.
    let mut one: Vec<usize> = (0..plumbing.nodes.len()).collect();
    let mut changed = true;
    while changed {
        changed = false;
        for branch in plumbing.branches.iter().filter(|branch| passes(&branch.part)) {
            let (a, b) = (branch.from.index(), branch.to.index());
            let low = one[a].min(one[b]);
            changed |= one[a] != low || one[b] != low;
            (one[a], one[b]) = (low, low);
        }
    }
    let mut meet = vec![Vec::new(); plumbing.nodes.len()];
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if branch.part.line().is_some() {
            meet[one[branch.from.index()]].push(i);
            meet[one[branch.to.index()]].push(i);
        }
    }
    one.iter().map(|node| meet[*node].clone()).collect()
}
