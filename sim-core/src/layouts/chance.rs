//! How likely a layout keeps its limits, its inputs being known only about so.

use super::problem::Layouts;
use crate::findings::of_run;
use crate::search::Design;
use crate::study::{Chance, LimitChance, RunOne, RunOutcome, SamplePlan, Uncertain};

/// How likely a layout keeps its limits.
#[derive(Clone, Debug, PartialEq)]
pub struct LayoutChance {
    /// Draws that keep every limit of the scenario; corners are not drawn.
    pub all: Chance,
    /// Each limit of each step.
    pub limits: Vec<LimitChance>,
}

impl Layouts<'_> {
    /// How likely the scenario of `design` keeps its limits, from so many `draws` of what is uncertain as usual or as the study says;
    /// `None` where it has no result to trust, or where the study says what does not fit it.
    pub fn chance(&self, design: &Design, draws: u32, run: &RunOne<'_>) -> Option<LayoutChance> {
        let text = self.text(design)?;
        let scenario = (self.reread)(text.clone()).ok()?;
        let record = run(&scenario).ok()?;
        let findings = of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
        let stated = RunOutcome::of(&scenario, &findings);
        let uncertain = Uncertain::new(&scenario, &text, Some(self.study), self.reread).ok()?;
        let plan = uncertain.plan(Some(draws), self.study.seed);
        let found = uncertain.study(SamplePlan { moved: 0, ..plan }, &stated, run);
        let drawn = found.outcomes.iter().flatten();
        let met = drawn.clone().filter(|outcome| outcome.limits.iter().all(|judged| judged.met));
        let all = Chance { met: met.count(), of: drawn.count() };
        Some(LayoutChance { all, limits: found.limits })
    }
}
