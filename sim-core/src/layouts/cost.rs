//! What a layout costs: of each part that was chosen from a catalogue, the metres or the pieces of it.

use super::problem::Layouts;
use crate::plumbing::{Part, Plumbing};
use crate::scenario::Scenario;
use crate::search::Design;

impl Layouts<'_> {
    /// What the parts of `design` cost that were chosen from the catalogue, and what does not vary; `scenario` is what it makes. What a
    /// part of the catalogue is in the machine shows by what another part in its place changes.
    pub(super) fn cost(&self, design: &Design, scenario: &Scenario) -> Option<f64> {
        let mut cost = self.study.goals.other_cost;
        for (at, level, other) in self.priced(design) {
            let other = (self.reread)(self.text_with(design, other, at)?).ok()?;
            let piece = level.price?;
            let (metres, count) = differing(&scenario.machine.plumbing, &other.machine.plumbing);
            cost += piece.price * if piece.per_metre { metres } else { count.max(1) as f64 };
        }
        Some(cost)
    }
}

/// Metres of the lines, and number of lines, parts and tips, of `one` that are not so in `other`.
fn differing(one: &Plumbing, other: &Plumbing) -> (f64, usize) {
    let branches = one.branches.iter().filter(|branch| {
        !other.branches.iter().any(|same| same.name == branch.name && same.part == branch.part)
    });
    let (mut metres, mut count) = (0.0, 0);
    for branch in branches {
        count += 1;
        if let Part::Line(line) = &branch.part {
            metres += line.length_m;
        }
    }
    let tips = one.tips.iter().filter(|tip| {
        !other
            .tips
            .iter()
            .any(|same| same.name == tip.name && same.rated_flow_m3_s == tip.rated_flow_m3_s)
    });
    (metres, count + tips.count())
}
