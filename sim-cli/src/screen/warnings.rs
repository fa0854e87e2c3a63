//! What to watch out for: the warnings of all steps, each once, and what every reader must know.

use crate::columns::broken;
use crate::results::{Finished, FinishedStep};
use crate::tables::purge::called;
use crate::words::{CAUTION, LIMITS_OF_THE_MODEL, PURGE_IS_UNCERTAIN, sentence};
use sim_core::findings::Warning;
use sim_core::measures::Measure;
use std::mem::{Discriminant, discriminant};

/// What lines after the first of an item begin with.
const INDENT: &str = "  ";

/// A warning as the first step has it, and the steps that have one of its kind.
struct Told<'a> {
    /// Its kind, and which of that kind in its step.
    kind: (Discriminant<Warning>, usize),
    warning: &'a Warning,
    steps: Vec<String>,
}

/// The list within `most` lines of `width`; what has no place is counted.
pub(super) fn list(finished: &Finished, most: usize, width: usize) -> String {
    let indented = |text: &str| broken(&format!("- {text}"), INDENT, width);
    let mut always = Vec::new();
    if finished.findings.iter().any(|found| found.purge.is_some()) {
        always.push(PURGE_IS_UNCERTAIN);
    }
    always.extend([LIMITS_OF_THE_MODEL, CAUTION]);
    let always: String = always.into_iter().map(indented).collect();
    // The blank line, the heading, and the line that counts what is left out.
    let mut left = most.saturating_sub(always.lines().count() + 3);
    let several = finished.has_several_steps();
    let told = told(finished);
    let (mut shown, mut count) = (String::new(), 0);
    for one in &told {
        let text = sentence(one.warning, finished.units);
        let text = if several { format!("{}: {text}", listed(&one.steps)) } else { text };
        let lines = indented(&text);
        let Some(rest) = left.checked_sub(lines.lines().count()) else { break };
        (left, count) = (rest, count + 1);
        shown.push_str(&lines);
    }
    let more = match told.len() - count {
        0 => String::new(),
        1 => "- and one more warning: --show warnings\n".to_owned(),
        more => format!("- and {more} more warnings: --show warnings\n"),
    };
    format!("\nWatch out\n{shown}{more}{always}\n")
}

/// The warnings of `finished`, of each kind that of the first step that has it, those of what hurts people first.
pub(crate) fn each_once(finished: &Finished) -> Vec<&Warning> {
    told(finished).into_iter().map(|one| one.warning).collect()
}

/// The warnings, those of what hurts people first.
fn told(finished: &Finished) -> Vec<Told<'_>> {
    let mut told: Vec<Told<'_>> = Vec::new();
    for of in finished.all_steps() {
        let mut seen = Vec::new();
        for warning in of.findings.warnings.iter().filter(|warning| !is_in_headline(&of, warning)) {
            let of_kind = discriminant(warning);
            let kind = (of_kind, seen.iter().filter(|other| **other == of_kind).count());
            seen.push(of_kind);
            match told.iter_mut().find(|one| one.kind == kind) {
                Some(one) => one.steps.push(called(&of)),
                None => told.push(Told { kind, warning, steps: vec![called(&of)] }),
            }
        }
    }
    told.sort_by_key(|one| !hurts(one.warning));
    told
}

/// Whether the lines on limits say the same already.
fn is_in_headline(of: &FinishedStep<'_>, warning: &Warning) -> bool {
    let mut verdicts = of.findings.verdicts.iter();
    matches!(warning, Warning::NotHeld(_))
        && of.findings.controls.len() == 1
        && verdicts.any(|verdict| verdict.measure == Measure::SetpointOff && !verdict.met)
}

fn hurts(warning: &Warning) -> bool {
    matches!(
        warning,
        Warning::CompressedAir { .. }
            | Warning::NoRating(_)
            | Warning::OverRating(_)
            | Warning::MaterialPressure { .. }
            | Warning::BrittlePlastic { .. }
    )
}

/// Names of steps; of many the first and how many more.
fn listed(steps: &[String]) -> String {
    match steps {
        [] => String::new(),
        [one] => one.clone(),
        [one, other] => format!("{one}, {other}"),
        [first, others @ ..] => format!("{first} and {} other steps", others.len()),
    }
}
