//! How do the lines look at a moment of a run: where is air, where liquid, and of what concentration?

use super::map_colour::map_colour;
use super::plan::{Look, Looks, Plan};
use super::theme::{LIQUID, RGBColor, WALL_FILM};
use super::timeline::Run;
use sim_core::plumbing::{Branch, NodeId, Part, Plumbing};
use sim_core::simulation::Sample;
use sim_core::transport::LinePhases;

/// Share of a line's length below which air at its end counts as none.
const TOUCHES: f32 = 2e-3;
/// Share of the bore from which liquid on the wall counts as any.
const WET_FROM: f32 = 2e-3;

/// What is at a tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum AtTip {
    Liquid,
    /// Liquid on the wall, air within.
    Film,
    Air,
}

/// The looks at the samples numbered `wanted`, in that order; the numbers rise.
pub(super) fn looks_at(run: &Run<'_>, plan: &Plan, wanted: &[usize]) -> Vec<Looks> {
    let eye = Eye::of(run, plan);
    let shown = run.samples().enumerate().filter(|(place, _)| wanted.contains(place));
    let looks = shown.map(|(_, (step, sample))| {
        let inlet = run.scenario.course.steps[step].purge.map(|purge| purge.node);
        eye.looks(sample, inlet)
    });
    looks.collect()
}

/// Whether air is at the end of `branch` at `node`.
fn air_at_end(phases: &LinePhases, branch: &Branch, node: NodeId) -> bool {
    phases.column.is_none_or(
        |[from, to]| {
            if branch.from == node { from > TOUCHES } else { to < 1.0 - TOUCHES }
        },
    )
}

/// Whether liquid is on the wall of `branch` at its end at `node`.
fn film_at_end(phases: &LinePhases, branch: &Branch, node: NodeId) -> bool {
    phases.film[usize::from(branch.from != node)] > WET_FROM
}

/// What is at each tip, at every sample of `run`: liquid where any line beside it has it across its bore there. Nothing where
/// no air takes part.
pub(super) fn at_tips(run: &Run<'_>) -> Vec<Vec<AtTip>> {
    let plumbing = &run.scenario.machine.plumbing;
    let mut beside = vec![Vec::new(); plumbing.nodes.len()];
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if branch.part.line().is_some() {
            beside[branch.from.index()].push(i);
            beside[branch.to.index()].push(i);
        }
    }
    let of_sample = |(_, sample): (usize, &Sample)| {
        let Some(air) = &sample.air else { return Vec::new() };
        let at_end = |of: fn(&LinePhases, &Branch, NodeId) -> bool, node: NodeId| {
            move |i: &usize| of(&air.lines[*i], &plumbing.branches[*i], node)
        };
        let content = |node: NodeId| {
            let lines = &beside[node.index()];
            match lines.iter().all(at_end(air_at_end, node)) {
                true if lines.iter().any(at_end(film_at_end, node)) => AtTip::Film,
                true if !lines.is_empty() => AtTip::Air,
                _ => AtTip::Liquid,
            }
        };
        plumbing.tips.iter().map(|tip| content(tip.node)).collect()
    };
    run.samples().map(of_sample).collect()
}

/// What every moment of a run is looked at with.
struct Eye<'a> {
    plumbing: &'a Plumbing,
    /// For each node, the lines that meet there, over parts that let air pass, each with its end there.
    lines_at: Vec<Vec<(usize, NodeId)>>,
    /// The line that fills each bar.
    beside: Vec<(NodeId, Option<usize>)>,
    /// The tanks of the plan.
    tanks: Vec<usize>,
    /// Whether concentrations are worth telling apart.
    by_concentration: bool,
}

impl<'a> Eye<'a> {
    fn of(run: &Run<'a>, plan: &Plan) -> Self {
        let plumbing = &run.scenario.machine.plumbing;
        Self {
            plumbing,
            lines_at: lines_at(plumbing),
            beside: plan
                .sheet
                .bars
                .iter()
                .map(|(node, _)| (*node, plan.sheet.line_at(plumbing, *node)))
                .collect(),
            tanks: plan.sheet.tanks.iter().map(|of| of.tank.index()).collect(),
            by_concentration: run.concentrations_change(),
        }
    }

    fn looks(&self, sample: &Sample, inlet: Option<NodeId>) -> Looks {
        let branches = 0..self.plumbing.branches.len();
        let lines: Vec<Look> = branches.map(|i| self.look(sample, i)).collect();
        let bars = self.beside.iter().map(|bar| self.bar(sample, &lines, *bar)).collect();
        let tanks = self.tanks.iter().map(|i| self.colour(sample.tanks[*i])).collect();
        Looks { lines, bars, tanks, air: inlet }
    }

    /// A bar that any line brings air to holds air.
    fn bar(&self, sample: &Sample, lines: &[Look], (node, line): (NodeId, Option<usize>)) -> Look {
        let brings_air = |(i, end): &(usize, NodeId)| {
            let air = sample.air.as_ref();
            air.is_some_and(|air| air_at_end(&air.lines[*i], &self.plumbing.branches[*i], *end))
        };
        if self.lines_at[node.index()].iter().any(brings_air) {
            return Look::Air;
        }
        match line.map_or(Look::Unseen, |i| lines[i]) {
            Look::Part { colour, .. } => Look::Full(colour),
            look => look,
        }
    }

    fn look(&self, sample: &Sample, i: usize) -> Look {
        if self.plumbing.branches[i].part.line().is_none() {
            return Look::Unseen;
        }
        let phases = sample.air.as_ref().map_or(LinePhases::FULL, |air| air.lines[i]);
        match self.colour(sample.lines[i]) {
            Some(colour) if phases == LinePhases::FULL => Look::Full(colour),
            Some(colour) => {
                let film = if self.by_concentration { colour } else { WALL_FILM };
                Look::Part { phases, colour, film }
            }
            None if phases == LinePhases::FULL => Look::Unseen,
            None => Look::Air,
        }
    }

    /// Colour of liquid of `concentration`; `None` where no liquid is followed.
    fn colour(&self, concentration: f32) -> Option<RGBColor> {
        let share = Some(f64::from(concentration)).filter(|share| !share.is_nan())?;
        Some(if self.by_concentration { map_colour(share) } else { LIQUID })
    }
}

/// For each node, the lines that meet there, over parts that let air pass, each with its end there.
fn lines_at(plumbing: &Plumbing) -> Vec<Vec<(usize, NodeId)>> {
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
            meet[one[branch.from.index()]].push((i, branch.from));
            meet[one[branch.to.index()]].push((i, branch.to));
        }
    }
    one.iter().map(|node| meet[*node].clone()).collect()
}
