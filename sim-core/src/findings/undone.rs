//! Steps that cannot do what their action says.

use super::circulation::Circulation;
use super::named::Named;
use super::priming::Priming;
use super::rinse::Rinse;
use super::warning::Warning;
use crate::hydraulics::STILL_M3_S;
use crate::plumbing::{BranchId, Plumbing, SectionId, Side};
use crate::procedure::{Action, Actuator, Control, Course, Step};
use crate::simulation::StepRecord;

/// Concentration down to which a rinse is to come where nothing is said (ISO 16119-4, from an excerpt).
const RINSED_TO: f64 = 0.02;
/// Product that a line may keep without a word, m3.
const COUNTS_FROM_M3: f64 = 1e-6;

/// What was found of a step that says whether it did what it was to do.
#[derive(Clone, Copy)]
pub(super) struct Done<'a> {
    pub(super) circulation: Option<&'a Circulation>,
    pub(super) priming: Option<&'a Priming>,
    pub(super) rinse: Option<&'a Rinse>,
    /// Whether any tip sprays.
    pub(super) sprays: bool,
}

/// What step number `step` of `course` does not do of what it is to do, from its record and what is `done`.
pub(super) fn warnings(
    (plumbing, course): (&Plumbing, &Course),
    step: usize,
    record: &StepRecord,
    done: Done<'_>,
) -> Vec<Warning> {
    let of = &course.steps[step];
    let warnings = match of.action {
        Action::Circulate => circulates(plumbing, of, record, done),
        Action::Spray => vec![sprays(plumbing, of, done)],
        Action::Prime => vec![sprays(plumbing, of, done), primes(done)],
        Action::Rinse => {
            let rinses_again = course.steps[step + 1..].iter().any(|o| o.action == Action::Rinse);
            let mut warnings = vec![sprays(plumbing, of, done)];
            if !rinses_again {
                let wanted = course.rinsed_to.unwrap_or(RINSED_TO);
                warnings.extend([clean(record, done, wanted), reaches(plumbing, record, wanted)]);
            }
            warnings
        }
        Action::Stand | Action::Purge => Vec::new(),
    };
    warnings.into_iter().flatten().collect()
}

/// Whether pumps rest in `step`.
fn pumps_rest(plumbing: &Plumbing, step: &Step) -> bool {
    let pumps = plumbing.branches.iter().zip(&step.settings.speed);
    let mut pumps = pumps.filter(|(branch, _)| branch.part.pump().is_some());
    let moved = |control: &Control| matches!(control.by, Actuator::PumpSpeed(_));
    !step.controls.iter().any(moved) && pumps.all(|(_, speed)| *speed == 0.0)
}

fn circulates(
    plumbing: &Plumbing,
    step: &Step,
    record: &StepRecord,
    done: Done<'_>,
) -> Vec<Option<Warning>> {
    let Some(circulation) = done.circulation else {
        let has_return = plumbing.branches.iter().any(|branch| branch.side == Side::Return);
        let pumps_rest = pumps_rest(plumbing, step);
        return vec![Some(Warning::NothingCirculates { has_return, pumps_rest })];
    };
    let tips = circulation.tips_that_would_open.clone();
    let would_open = circulation.check_valves.filter(|_| !tips.is_empty());
    let would_open =
        would_open.map(|valves| Warning::TipsWouldOpen { tips, highest_pa: valves.highest_pa });
    let still = |section: &SectionId| {
        let mut tubes =
            plumbing.branches.iter().zip(&record.end.flow_m3_s).filter(|(branch, _)| {
                branch.side == Side::Boom && branch.section == Some(*section)
            });
        !step.settings.closes(plumbing, *section) && tubes.all(|(_, flow)| flow.abs() <= STILL_M3_S)
    };
    let sections = (0..plumbing.sections.len()).map(SectionId::at).filter(still);
    let sections: Vec<_> = sections.map(|id| Named::section(plumbing, id)).collect();
    let still = (!sections.is_empty()).then_some(Warning::SectionsNotCirculated { sections });
    vec![would_open, still]
}

/// Tips that are held closed by too little pressure have a warning of their own.
fn sprays(plumbing: &Plumbing, step: &Step, done: Done<'_>) -> Option<Warning> {
    let nothing = !done.sprays && !plumbing.tips.is_empty();
    let sections_closed = (0..plumbing.sections.len())
        .all(|section| step.settings.closes(plumbing, SectionId::at(section)))
        && !plumbing.sections.is_empty();
    let pumps_rest = pumps_rest(plumbing, step);
    nothing.then_some(Warning::NothingSprays { pumps_rest, sections_closed })
}

fn primes(done: Done<'_>) -> Option<Warning> {
    let nothing = done.priming.is_some_and(|priming| !priming.new_liquid);
    (nothing && done.sprays).then_some(Warning::NothingToPrime)
}

/// What rinses was not as clean as it is to make the tips, and these did not become so.
fn clean(record: &StepRecord, done: Done<'_>, wanted: f64) -> Option<Warning> {
    let fed_concentration = record.moved.as_ref()?.fed_concentration;
    let tip = done.rinse?.highest_concentration.as_ref()?;
    (fed_concentration > wanted && tip.concentration > wanted)
        .then_some(Warning::RinseNotClean { fed_concentration, wanted })
}

/// Lines that no water flows through and that hold more than is wanted.
fn reaches(plumbing: &Plumbing, record: &StepRecord, wanted: f64) -> Option<Warning> {
    let moved = record.moved.as_ref()?;
    let suction = plumbing.suction_lines();
    let product_m3 = |i: usize| -> Option<f64> {
        let held = moved.line_concentration[i].filter(|held| *held > wanted)?;
        let still = record.end.flow_m3_s[i].abs() <= STILL_M3_S && !suction[i];
        still.then_some(plumbing.branches[i].part.line()?.volume_m3() * held)
    };
    let dirty = (0..plumbing.branches.len()).filter_map(|i| Some((i, product_m3(i)?)));
    let dirty: Vec<(usize, f64)> = dirty.collect();
    let product_m3 = dirty.iter().map(|(_, product)| product).sum();
    let line = |(i, _): &(usize, f64)| Named::branch(plumbing, BranchId::at(*i));
    (product_m3 > COUNTS_FROM_M3)
        .then(|| Warning::NotRinsed { lines: dirty.iter().map(line).collect(), product_m3 })
}
