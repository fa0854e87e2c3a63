//! The axis along a boom, its sections as strips, and their names.

use super::axes::{Axis, Frame};
use super::theme::BAND;
use sim_core::plumbing::Plumbing;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

/// Names of sections that a picture has room for.
const MOST_NAMES: usize = 24;

/// Tips of a section by their numbers, from left to right.
pub(super) struct TipGroup {
    /// The section's name; empty for tips of no section.
    pub(super) name: String,
    pub(super) tips: Vec<usize>,
}

/// Tips by section; tips of no section make one group.
pub(super) fn tip_groups(plumbing: &Plumbing) -> Vec<TipGroup> {
    let names = plumbing.sections.iter().map(|section| section.name.clone()).chain([String::new()]);
    let mut groups: Vec<TipGroup> = names.map(|name| TipGroup { name, tips: Vec::new() }).collect();
    let others = groups.len() - 1;
    for (i, tip) in plumbing.tips.iter().enumerate() {
        groups[tip.section.map_or(others, |section| section.index())].tips.push(i);
    }
    groups.retain(|group| !group.tips.is_empty());
    for group in &mut groups {
        group.tips.sort_by(|a, b| plumbing.tips[*a].x_m.total_cmp(&plumbing.tips[*b].x_m));
    }
    groups
}

/// Whether tips are at places along a boom: a network that gives them none has them all at one.
pub(super) fn lies_along(plumbing: &Plumbing) -> bool {
    let Some(first) = plumbing.tips.first() else { return false };
    plumbing.tips.len() == 1 || plumbing.tips.iter().any(|tip| tip.x_m != first.x_m)
}

/// The boom as the x axis of a picture, in the user's unit of length.
pub(super) struct AlongBoom {
    /// It surrounds the strips a little.
    pub(super) x: Axis,
    strips: Vec<Strip>,
}

/// What the tips of a section cover.
struct Strip {
    name: String,
    from: f64,
    to: f64,
}

impl AlongBoom {
    pub(super) fn of(plumbing: &Plumbing, groups: &[TipGroup], units: UnitSystem) -> Self {
        let unit = display_unit(Q::Length, units);
        let strip = |group: &TipGroup| {
            let x: Vec<f64> =
                group.tips.iter().map(|i| unit.from_si(plumbing.tips[*i].x_m)).collect();
            let (from, to) = extent(&x);
            Strip { name: group.name.clone(), from, to }
        };
        let mut strips: Vec<Strip> = groups.iter().map(strip).collect();
        if strips.is_empty() {
            strips.push(Strip { name: String::new(), from: 0.0, to: 1.0 });
        }
        let from = strips.iter().map(|strip| strip.from).fold(f64::INFINITY, f64::min);
        let to = strips.iter().map(|strip| strip.to).fold(f64::NEG_INFINITY, f64::max);
        let margin = 0.02 * (to - from).max(0.1);
        let title = format!(
            "position along the boom, {} (left end to right end, seen in travel)",
            unit.symbol
        );
        Self { x: Axis { title, from: from - margin, to: to + margin }, strips }
    }

    /// Half the width of bars at `x` that keep apart.
    pub(super) fn half_bar(&self, x: impl Iterator<Item = f64>) -> f64 {
        let mut x: Vec<f64> = x.collect();
        x.sort_by(f64::total_cmp);
        let gaps = x.windows(2).map(|pair| pair[1] - pair[0]).filter(|gap| *gap > 1e-6);
        0.35 * gaps.fold((self.x.to - self.x.from) / 10.0, f64::min)
    }

    /// Every other section shaded, the axes, and the names above.
    pub(super) fn ground(&self, frame: &mut Frame<'_>) {
        for strip in self.strips.iter().step_by(2) {
            frame.strip(strip.from, strip.to, BAND);
        }
        self.axes(frame);
    }

    /// The axes, and the names of the sections above, as many as fit.
    pub(super) fn axes(&self, frame: &mut Frame<'_>) {
        frame.axes();
        let every = self.strips.len().div_ceil(MOST_NAMES).max(1);
        for strip in self.strips.iter().step_by(every) {
            frame.name_above(0.5 * (strip.from + strip.to), &strip.name);
        }
    }
}

/// The strip that tips at `x` cover: half a spacing beyond the outer ones.
fn extent(x: &[f64]) -> (f64, f64) {
    let half = if x.len() > 1 { 0.5 * (x[1] - x[0]) } else { 0.25 };
    (x[0] - half, x[x.len() - 1] + half)
}
