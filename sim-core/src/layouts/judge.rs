//! How a layout comes out: cheap limits first.

use super::offer::with;
use super::problem::Layouts;
use crate::findings::of_run;
use crate::measures::Limit;
use crate::procedure::{Action, Step};
use crate::scenario::{Aim, Scenario};
use crate::search::Design;
use crate::study::{JudgedLimit, RunOne, RunOutcome};

/// Violation of a layout that gives no result to trust, and of an aim that is not reached.
const UNTRUSTED: f64 = 100.0;

/// How far a layout was followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// It makes no valid scenario, or gives no result to trust.
    Impossible,
    /// States of flow, in every corner.
    Steady,
    /// Steps through time up to the first purge.
    Liquid,
    /// All steps.
    Whole,
}

/// How a layout came out.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgedLayout {
    /// How far it was followed: to the stage in which it broke a limit, or to the end.
    pub stage: Stage,
    /// By how much it breaks limits, shares of them together, the more the earlier; 0 where it keeps all.
    pub violation: f64,
    /// What it costs, in the currency of the catalogue; `None` where that was not asked for.
    pub cost: Option<f64>,
    /// What all steps came to, where they ran.
    pub outcome: Option<RunOutcome>,
    /// Every limit of the stage, the most broken or nearest to it first.
    pub limits: Vec<Leaning>,
}

/// A limit and how near it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaning {
    /// Index of the corner; `None` for the scenario itself.
    pub corner: Option<usize>,
    /// The limit and what was found.
    pub judged: JudgedLimit,
    /// Name of the step.
    pub step: String,
    /// By how much it is broken, as a share of the limit; below 0 by how much it is kept.
    pub over: f64,
}

impl Leaning {
    /// Whether it is of the same limit in the same corner, in whatever step.
    pub(super) fn is_of_the_limit_of(&self, other: &Self) -> bool {
        (self.corner, &self.judged.limit) == (other.corner, &other.judged.limit)
    }
}

impl JudgedLayout {
    fn impossible() -> Self {
        Self {
            stage: Stage::Impossible,
            violation: UNTRUSTED,
            cost: None,
            outcome: None,
            limits: Vec::new(),
        }
    }

    /// What it has of `aim`.
    pub fn aim(&self, aim: Aim) -> Option<f64> {
        match aim {
            Aim::Cost => self.cost,
            Aim::Measure(measure) => self.outcome.as_ref()?.value(measure),
        }
    }
}

impl Layouts<'_> {
    /// Judges `design`; `run` runs a scenario.
    pub fn judge(&self, design: &Design, run: &RunOne<'_>) -> JudgedLayout {
        let Some(text) = self.text(design) else { return JudgedLayout::impossible() };
        let Ok(scenario) = (self.reread)(text.clone()) else { return JudgedLayout::impossible() };
        let cost = if self.study.goals.aims.contains(&Aim::Cost) {
            self.cost(design, &scenario)
        } else {
            None
        };
        let mut judged = self.follow(&text, &scenario, run);
        judged.cost = cost;
        let reached = self.study.goals.aims.iter().all(|aim| judged.aim(*aim).is_some());
        if judged.stage == Stage::Whole && !reached {
            judged.violation += UNTRUSTED;
        }
        judged.limits.sort_by(|a, b| b.over.total_cmp(&a.over));
        judged
    }

    /// Follows the `scenario` of this `text` until it breaks a limit.
    fn follow(&self, text: &str, scenario: &Scenario, run: &RunOne<'_>) -> JudgedLayout {
        let mut judged = JudgedLayout { stage: Stage::Steady, ..JudgedLayout::impossible() };
        judged.violation = 0.0;
        let mut cases = vec![(None, scenario.clone(), false)];
        for (at, corner) in self.study.goals.corners.iter().enumerate() {
            let changed =
                with(text, &corner.settings).ok().and_then(|text| (self.reread)(text).ok());
            let Some(changed) = changed else { return JudgedLayout::impossible() };
            cases.push((Some(at), changed, corner.whole));
        }
        for (corner, case, _) in &cases {
            if let Some(still) = part(case, Stage::Steady) {
                judged.add(*corner, &still, run);
            }
        }
        for stage in [Stage::Liquid, Stage::Whole] {
            if judged.violation > 0.0 {
                // What breaks a cheap limit is no better for what was not looked at.
                judged.violation += f64::from(Stage::Whole as u8 - judged.stage as u8);
                return judged;
            }
            if stage == Stage::Liquid && part(scenario, stage).is_none() {
                continue;
            }
            judged.stage = stage;
            for (corner, case, whole) in &cases {
                if corner.is_none() || *whole {
                    judged.limits.retain(|leaning| leaning.corner != *corner);
                    let Some(case) = part(case, stage) else { continue };
                    let outcome = judged.add(*corner, &case, run);
                    if corner.is_none() && stage == Stage::Whole {
                        judged.outcome = outcome;
                    }
                }
            }
        }
        judged
    }
}

/// What of `scenario` is run in `stage`; nothing where that would be nothing, or the same as the whole.
fn part(scenario: &Scenario, stage: Stage) -> Option<Scenario> {
    let mut part = scenario.clone();
    let steps = &mut part.course.steps;
    match stage {
        Stage::Whole | Stage::Impossible => return Some(part),
        Stage::Liquid => {
            let purge = steps.iter().position(|step| step.action == Action::Purge)?;
            steps.truncate(purge);
            let lasts = steps.iter().any(|step| step.lasts.is_some());
            return (lasts && !steps.is_empty()).then_some(part);
        }
        Stage::Steady => {
            steps.retain(|step| step.action.sprays() || step.action == Action::Circulate);
            steps.iter_mut().for_each(still);
        }
    }
    part.course.start = Default::default();
    (!part.course.steps.is_empty()).then_some(part)
}

/// Makes of `step` its state of flow alone.
fn still(step: &mut Step) {
    step.lasts = None;
    step.loads.clear();
    step.transfers.clear();
    step.pass = None;
}

impl JudgedLayout {
    /// Runs `scenario`, of the corner with this index or of none, and adds what its limits say.
    fn add(
        &mut self,
        corner: Option<usize>,
        scenario: &Scenario,
        run: &RunOne<'_>,
    ) -> Option<RunOutcome> {
        let Ok(record) = run(scenario) else {
            self.violation += UNTRUSTED;
            return None;
        };
        let findings = of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
        let outcome = RunOutcome::of(scenario, &findings);
        for judged in &outcome.limits {
            let over = over(&judged.limit, judged);
            if !judged.met {
                self.violation += over.max(1e-9);
            }
            let step = scenario.course.steps[judged.step].name.clone();
            self.limits.push(Leaning { corner, judged: judged.clone(), step, over });
        }
        Some(outcome)
    }
}

/// By how much `judged` breaks `limit`, as a share of it.
fn over(limit: &Limit, judged: &JudgedLimit) -> f64 {
    let share = |off: f64, bound: f64| off / bound.abs().max(f64::MIN_POSITIVE);
    let most = limit.at_most.map(|most| share(judged.value - most, most));
    let least = limit.at_least.map(|least| share(least - judged.value, least));
    let over = most.into_iter().chain(least).fold(f64::NEG_INFINITY, f64::max);
    if judged.reached { over } else { over.max(0.0) + 1.0 }
}
