//! What does the record mean to the user?
//!
//! [`of_run`] turns the record of a scenario's run into numbers with verdicts: operating point, evenness, losses,
//! priming, circulation, rinse, standing, filling, purge, limits, warnings. Each type is with what fills it and
//! carries the names that files show; definitions are in `docs/theory/findings.md`.

mod after_drip;
mod application;
mod backflow;
mod boom;
mod circulation;
mod controls;
mod dead_legs;
mod fast_stop;
mod filling;
mod losses;
mod measured;
mod named;
mod notices;
mod outcome;
mod priming;
mod pumps;
mod purge;
mod purge_cautions;
mod ranking;
mod refill;
mod residual;
mod rinse;
mod sections;
mod standing;
mod tips;
mod undone;
mod used;
mod verdict;
mod warning;

pub use after_drip::{AfterDrip, DrippingEnd, pushed_out_m3};
pub use application::Application;
pub use boom::BoomFinding;
pub use circulation::{CheckValves, Circulation, LineVelocity, SlowLine};
pub use controls::{ControlFinding, Controlled};
pub use dead_legs::DeadLeg;
pub use filling::{Filling, LineAir, SectionFilling};
pub use losses::LossFinding;
pub use measured::{Measured, Place, value};
pub use named::Named;
pub use outcome::{End, Outcome, TankFinding};
pub use priming::{Priming, SectionPriming, TipPriming};
pub use pumps::PumpDuty;
pub use purge::{
    Breakthrough, NodePressure, OpenedTips, Purge, RanBack, RatingUse, ReceiverFinding,
    section_breakthrough_s,
};
pub use residual::{LineResidual, Residual};
pub use rinse::{Rinse, TipConcentration};
pub use sections::SectionFinding;
pub use standing::Standing;
pub use tips::{TipFinding, Window};
pub use used::{Used, used};
pub use verdict::Verdict;
pub use warning::{ReturnBackflow, Warning, WaveRise};

use crate::measures::{Limits, Measure};
use crate::plumbing::{Machine, NodeId, Plumbing};
use crate::procedure::{Action, Course};
use crate::simulation::{Record, StepRecord};
use measured::Measures;
use schemars::JsonSchema;
use serde::Serialize;
use std::ops::Range;

/// A machine, what is done with it, and what is demanded of the findings.
type Asked<'a> = (&'a Machine, &'a Course, &'a Limits);

/// What one step's record means. Shares are fractions (0.1 is 10 %).
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct StepFindings {
    /// How a step that lasts ended, and what it moved.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outcome: Option<Outcome>,
    /// Each pump's operating point.
    pub pumps: Vec<PumpDuty>,
    /// Each control of the step.
    pub controls: Vec<ControlFinding>,
    /// Highest pressure of any moment of the step that is kept, the latest of equal ones; at the end of a purge in parts, of
    /// all its parts.
    pub highest: Option<HighestPressure>,
    /// Each tip.
    pub tips: Vec<TipFinding>,
    /// The running tips of the whole boom; left out where none runs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub boom: Option<BoomFinding>,
    /// Each section.
    pub sections: Vec<SectionFinding>,
    /// Each line and part that passes flow, the largest power first.
    pub losses: Vec<LossFinding>,
    /// Rate over the field; left out without travel or running tips.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub application: Option<Application>,
    /// When new liquid came to the tips of a step that lasts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub priming: Option<Priming>,
    /// What flows back to the tank; left out where nothing returns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub circulation: Option<Circulation>,
    /// What capped ends push out after shut-off; left out where every tip closes for itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after_drip: Option<AfterDrip>,
    /// How clean a rinse left the machine.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rinse: Option<Rinse>,
    /// What standing did to suspended product.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<Standing>,
    /// How lines that held air filled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub filling: Option<Filling>,
    /// What the purge that ends with this step did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub purge: Option<Purge>,
    /// Each limit that applies, met or not.
    pub verdicts: Vec<Verdict>,
    /// What to read beside the numbers.
    pub warnings: Vec<Warning>,
}

/// The highest pressure of a step.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct HighestPressure {
    /// The pressure, gauge.
    pub pressure_pa: f64,
    /// Where.
    pub node: Named<NodeId>,
    /// When, after the step's start; negative if an earlier part of a purge had it.
    pub at_s: f64,
}

impl StepFindings {
    /// Every measure that this step has, in the order of the catalogue.
    pub fn measured(&self) -> Vec<Measured> {
        let mut found = Measures::default();
        let lasted_s = self.outcome.as_ref().map_or(0.0, |outcome| outcome.lasted_s);
        let each = &mut found;
        controls::measure(&self.controls, each);
        let highest = self.highest.as_ref();
        let highest = highest.map(|at| (at.pressure_pa, Some(Place::Node(at.node.clone()))));
        each.add_at(Measure::HighestPressure, highest);
        tips::measure(&self.tips, each);
        sections::measure(&self.sections, each);
        losses::measure(&self.losses, each);
        pumps::measure(&self.pumps, each);
        self.outcome.iter().for_each(|outcome| outcome.measure(each));
        self.boom.iter().for_each(|boom| boom.measure(each));
        self.application.iter().for_each(|application| application.measure(each));
        self.priming.iter().for_each(|priming| priming.measure(lasted_s, each));
        self.circulation.iter().for_each(|circulation| circulation.measure(each));
        self.after_drip.iter().for_each(|after_drip| after_drip.measure(each));
        self.rinse.iter().for_each(|rinse| rinse.measure(each));
        self.filling.iter().for_each(|filling| filling.measure(lasted_s, each));
        self.purge.iter().for_each(|purge| purge.measure(each));
        found.sorted()
    }
}

/// The findings of every step of `course` on `machine`, held to `limits`, from the record of its run.
pub fn of_run(
    machine: &Machine,
    course: &Course,
    limits: &Limits,
    record: &Record,
) -> Vec<StepFindings> {
    let steps = record.steps.iter().enumerate();
    let asked = (machine, course, limits);
    let mut findings: Vec<StepFindings> = steps.map(|(i, step)| of_step(asked, i, step)).collect();
    add_purges(asked, record, &mut findings);
    findings
}

/// Every measure that the run of `plumbing` with `findings` has as a whole, in the order of the catalogue.
pub fn of_whole_run(plumbing: &Plumbing, findings: &[StepFindings]) -> Vec<Measured> {
    let steps: Vec<Vec<Measured>> = findings.iter().map(StepFindings::measured).collect();
    let mut found = Measures::over(&steps);
    let lasted_s = findings.iter().filter_map(|step| Some(step.outcome.as_ref()?.lasted_s));
    found.add(Measure::Lasted, lasted_s.reduce(|sum, lasted_s| sum + lasted_s));
    let volumes_m3 = plumbing.volume_by_side();
    found.add(Measure::LinesHold, volumes_m3.iter().map(|(_, m3)| m3).sum::<f64>());
    let verdicts = || findings.iter().flat_map(|step| &step.verdicts);
    let (all, missed) = (verdicts().count(), verdicts().filter(|verdict| !verdict.met).count());
    found.add(Measure::LimitsMissed, (all > 0).then(|| missed as f64 / all as f64));
    found.sorted()
}

/// Adds to the findings of the last step of each purge what the whole of it did.
fn add_purges(
    (machine, course, limits): Asked<'_>,
    record: &Record,
    findings: &mut [StepFindings],
) {
    let rinse_to_share = limits.most(Measure::HighestTipConcentration);
    let mut at = 0;
    for steps in course.steps.chunk_by(|a, b| a.action == b.action) {
        let range = at..at + steps.len();
        at = range.end;
        if steps[0].action != Action::Purge {
            continue;
        }
        let highest = highest_of_parts(record, findings, range.clone());
        if let Some(purge) =
            purge::purge((&machine.plumbing, course), record, range, rinse_to_share)
        {
            let last = &mut findings[at - 1];
            last.highest = highest;
            last.warnings.extend(purge_cautions::cautions(&machine.plumbing, &purge));
            last.purge = Some(purge);
            let measured = last.measured();
            last.verdicts = verdict::verdicts(limits, &measured);
            last.verdicts.extend(verdict::of_residual(machine, &measured));
        }
    }
}

/// The highest pressure of the steps of `parts`, the latest of equal ones, as the last of them tells it.
fn highest_of_parts(
    record: &Record,
    findings: &[StepFindings],
    parts: Range<usize>,
) -> Option<HighestPressure> {
    let start_s = |part: usize| record.steps[part].start_s;
    let last_s = start_s(parts.end - 1);
    let of_parts = parts.filter_map(|part| Some((part, findings[part].highest.as_ref()?)));
    let (part, highest) =
        of_parts.max_by(|a, b| (a.1.pressure_pa as f32).total_cmp(&(b.1.pressure_pa as f32)))?;
    Some(HighestPressure { at_s: start_s(part) + highest.at_s - last_s, ..highest.clone() })
}

/// The findings of step number `number`, from its record.
fn of_step(
    (machine, course, limits): Asked<'_>,
    number: usize,
    record: &StepRecord,
) -> StepFindings {
    let (plumbing, liquid, step) = (&machine.plumbing, &course.liquid, &course.steps[number]);
    let end = &record.end;
    let controls = controls::controls(plumbing, &step.controls, end);
    let mut findings = StepFindings {
        outcome: outcome::outcome(plumbing, record),
        highest: highest(plumbing, record),
        tips: tips::tips((plumbing, liquid), step, record, &controls),
        ..StepFindings::default()
    };
    if step.action == Action::Purge {
        // Nothing flows steadily: `add_purges` says what the whole of it did.
        return findings;
    }
    findings.boom = boom::boom(plumbing, end, &findings.tips);
    findings.pumps = pumps::pumps((plumbing, liquid), &step.settings, end, &step.controls);
    findings.sections = sections::sections(plumbing, end, &findings.tips, &controls);
    findings.losses = losses::losses((plumbing, liquid), end, &findings.pumps);
    findings.application =
        application::application(plumbing, course.travel.as_ref(), &findings.tips);
    findings.circulation = circulation::circulation(plumbing, course, record);
    findings.standing = standing::standing(plumbing, course, record);
    findings.controls = controls;
    if step.action != Action::Stand {
        findings.filling = filling::filling(plumbing, record);
    }
    let legs = dead_legs::dead_legs(plumbing, record);
    if step.action.sprays() {
        findings.after_drip = after_drip::after_drip(plumbing, end, &legs);
    }
    let moved = record.moved.as_ref();
    findings.rinse =
        rinse::rinse(plumbing, step.action, record, dead_legs::concentration_of(&legs));
    findings.priming =
        moved.and_then(|moved| priming::priming((machine, course), number, record, moved, legs));
    findings.verdicts = verdict::verdicts(limits, &findings.measured());
    findings.warnings = warnings((plumbing, course), number, record, &findings);
    findings
}

/// Samples know pressures to seven figures: those that agree so far are equal.
fn highest(plumbing: &Plumbing, record: &StepRecord) -> Option<HighestPressure> {
    let highest = record.pressures().max_by(|a, b| (a.0 as f32).total_cmp(&(b.0 as f32)))?;
    let (pressure_pa, node, at_s) = highest;
    Some(HighestPressure { pressure_pa, node: Named::node(plumbing, node), at_s })
}

/// What to read beside `findings` of step number `step`, from its record.
fn warnings(
    (plumbing, course): (&Plumbing, &Course),
    step: usize,
    record: &StepRecord,
    findings: &StepFindings,
) -> Vec<Warning> {
    let missed = findings.controls.iter().filter(|control| !control.reached).cloned();
    let mut warnings: Vec<Warning> = missed.map(Warning::NotHeld).collect();
    let of = &course.steps[step];
    warnings.extend(notices::warnings(plumbing, of, &record.end));
    warnings.extend(tips::warnings(&findings.tips));
    warnings.extend(backflow::warnings(plumbing, of, &record.end));
    let done = undone::Done {
        circulation: findings.circulation.as_ref(),
        priming: findings.priming.as_ref(),
        rinse: findings.rinse.as_ref(),
        sprays: findings.boom.is_some(),
    };
    warnings.extend(undone::warnings((plumbing, course), step, record, done));
    warnings.extend(losses::between_regimes(&findings.losses));
    let caution = course.liquid.caution.clone().filter(|_| step == 0);
    warnings.extend(caution.map(|caution| Warning::Liquid { caution }));
    let moved = record.moved.as_ref();
    warnings.extend(moved.and_then(|moved| fast_stop::column_parts(plumbing, moved)));
    warnings.extend(
        moved.and_then(|moved| {
            fast_stop::fast_stop(plumbing, &course.liquid, of.change.ramp_s, moved)
        }),
    );
    warnings
}
