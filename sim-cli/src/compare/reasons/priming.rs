//! Why new liquid comes later to the tips of one layout: which stretches lag, how many litres, and why.

use super::Lettered;
use crate::results::Finished;
use sim_core::findings::Priming;
use sim_core::plumbing::Side;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Times of full strength this near each other count as alike, s.
const ALIKE_S: f64 = 0.5;
/// Share of a section's wait from which its tips count as its last ones.
const LAST_PART: f64 = 0.75;
/// Reynolds number up to which flow in a line is laminar (Hagen-Poiseuille).
const LAMINAR: f64 = 2000.0;
/// Sections that are named where several lag.
const MOST_NAMED: usize = 2;

/// The step that brings new liquid to the tips.
#[derive(Clone, Copy)]
struct Primed<'a> {
    /// Its number.
    step: usize,
    lasted_s: f64,
    priming: &'a Priming,
}

/// The first step that brings new liquid to the tips, and what it brought.
fn first_priming(run: &Finished) -> Option<Primed<'_>> {
    let steps = run.findings.iter().enumerate();
    let mut primed = steps.filter_map(|(step, found)| {
        let lasted_s = found.outcome.as_ref()?.lasted_s;
        Some(Primed { step, lasted_s, priming: found.priming.as_ref()? })
    });
    primed.find(|primed| primed.priming.new_liquid)
}

/// What the coming of new liquid to the tips of `a` and `b` has to say.
pub(super) fn sentences(a: Lettered<'_>, b: Lettered<'_>, units: UnitSystem) -> Vec<String> {
    let mut sentences = Vec::new();
    match (first_priming(a.1), first_priming(b.1)) {
        (Some(of_a), Some(of_b)) => {
            sentences.push(times((a.0, of_a), (b.0, of_b), units));
            sentences.extend(litres((a.0, of_a.priming), (b.0, of_b.priming), units));
            let late = |primed: Primed<'_>| primed.priming.all_full_s.unwrap_or(f64::INFINITY);
            let later_first = if late(of_a) >= late(of_b) {
                [(a, of_a), (b, of_b)]
            } else {
                [(b, of_b), (a, of_a)]
            };
            sentences.extend(later_first.map(|(layout, of)| lagging(layout, of, units)));
            sentences.extend(turnovers((a.0, of_a.priming), (b.0, of_b.priming), units));
            sentences.extend(ways(a, b, (of_a.step, of_b.step)));
        }
        (Some(_), None) => {
            sentences.push(format!("Only {} has new liquid to bring to its tips.", a.0))
        }
        (None, Some(_)) => {
            sentences.push(format!("Only {} has new liquid to bring to its tips.", b.0))
        }
        (None, None) => {}
    }
    sentences
}

/// When every tip is full.
fn times(a: (char, Primed<'_>), b: (char, Primed<'_>), units: UnitSystem) -> String {
    let time = |s: f64| show(s, Q::Duration, units);
    match (a.1.priming.all_full_s, b.1.priming.all_full_s) {
        (Some(x), Some(y)) if (x - y).abs() < ALIKE_S => {
            format!(
                "Every tip has full strength after {} in {} and {} in {}: alike.",
                time(x),
                a.0,
                time(y),
                b.0
            )
        }
        (Some(x), Some(y)) => {
            let ((first, early), (second, late)) =
                if x < y { ((a.0, x), (b.0, y)) } else { ((b.0, y), (a.0, x)) };
            format!(
                "Every tip has full strength after {} in {first} and after {} in {second}: {} sooner.",
                time(early),
                time(late),
                time(late - early)
            )
        }
        (x, y) => {
            let one = |(letter, primed): (char, Primed<'_>), full: Option<f64>| match full {
                Some(full) => format!("in {letter} after {}", time(full)),
                None => format!("in {letter} not within {}", time(primed.lasted_s)),
            };
            format!("Every tip has full strength {}, {}.", one(a, x), one(b, y))
        }
    }
}

/// What was sprayed below full strength.
fn litres(a: (char, &Priming), b: (char, &Priming), units: UnitSystem) -> Option<String> {
    if a.1.under_dosed_m3 + b.1.under_dosed_m3 <= 0.0 {
        return None;
    }
    let one = |(letter, priming): (char, &Priming)| {
        if priming.under_dosed_m3 <= 0.0 {
            return format!("{letter} sprays nothing below full strength");
        }
        let travel = priming.under_dosed_distance_m;
        let travel = travel.map(|m| format!(" over {} of travel", show(m, Q::Length, units)));
        let volume = show(priming.under_dosed_m3, Q::Volume, units);
        format!("{letter} sprays {volume} below full strength{}", travel.unwrap_or_default())
    };
    Some(format!("Until then {}, {}.", one(a), one(b)))
}

/// Which stretches of a layout come last, and what passes them.
fn lagging(
    (letter, run): Lettered<'_>,
    Primed { step, lasted_s, priming }: Primed<'_>,
    units: UnitSystem,
) -> String {
    let plumbing = &run.loaded.scenario.machine.plumbing;
    let mut sections: Vec<_> = priming
        .sections
        .iter()
        .map(|s| (s, s.last_s.unwrap_or(f64::INFINITY)))
        .filter(|(s, _)| s.first_s.is_some())
        .collect();
    sections.sort_by(|x, y| y.1.total_cmp(&x.1).then(x.0.section.id.cmp(&y.0.section.id)));
    let named = sections.iter().take(MOST_NAMED).map(|(section, last)| {
        let first = section.first_s.unwrap_or(0.0);
        let from = first + LAST_PART * (last - first);
        let tips = plumbing.tips.iter().zip(&priming.tips);
        let late = tips.filter(|(tip, arrival)| {
            tip.section == Some(section.section.id)
                && arrival.full_s.unwrap_or(f64::INFINITY) >= from.min(lasted_s)
        });
        let names: Vec<&str> = late.map(|(tip, _)| tip.name.as_str()).collect();
        let name = &section.section;
        let wait = if last.is_finite() {
            format!("{} after the section's first", show(last - first, Q::Duration, units))
        } else {
            "not full when the step ends".to_owned()
        };
        format!("{} of section {name} ({wait})", listed(&names))
    });
    let named: Vec<String> = named.collect();
    if named.is_empty() {
        return String::new();
    }
    format!("In {letter} the last are {}.{}", named.join(" and "), past(run, step, priming, units))
}

/// Names of tips in a row, told by their ends.
fn listed(names: &[&str]) -> String {
    match names {
        [] => "the tips".into(),
        [one] => format!("tip {one}"),
        [one, other] => format!("tips {one} and {other}"),
        [first, .., last] => format!("the {} tips {first} to {last}", names.len()),
    }
}

/// What flows past the tip that comes last.
fn past(run: &Finished, step: usize, priming: &Priming, units: UnitSystem) -> String {
    let plumbing = &run.loaded.scenario.machine.plumbing;
    let full = |i: usize| priming.tips[i].full_s.unwrap_or(f64::INFINITY);
    let latest =
        (0..plumbing.tips.len()).max_by(|a, b| full(*a).total_cmp(&full(*b)).then(b.cmp(a)));
    let Some(tip) = latest.map(|i| &plumbing.tips[i]) else { return String::new() };
    let touches = |loss: &&sim_core::findings::LossFinding| {
        let branch = plumbing.branch(loss.branch.id);
        branch.side == Side::Boom && [branch.from, branch.to].contains(&tip.node)
    };
    let beside = run.findings[step].losses.iter().filter(touches);
    let fastest = beside.filter_map(|loss| Some((loss.velocity_m_s?, loss.reynolds?)));
    let Some((velocity, reynolds)) = fastest.max_by(|a, b| a.0.total_cmp(&b.0)) else {
        return String::new();
    };
    let velocity = show(velocity, Q::Velocity, units);
    let laminar =
        if reynolds <= LAMINAR { ": laminar, so that old liquid stays at the wall" } else { "" };
    format!(
        " What passes tip {} moves at {velocity} (Reynolds number {}{laminar}).",
        tip.name,
        (reynolds / 10.0).round() * 10.0
    )
}

/// How fast the lines turn over.
fn turnovers(a: (char, &Priming), b: (char, &Priming), units: UnitSystem) -> Option<String> {
    let (x, y) = (a.1.turnover_s?, b.1.turnover_s?);
    let time = |s: f64| show(s, Q::Duration, units);
    Some(format!(
        "The moving lines turn over in {} in {}, in {} in {}.",
        time(x),
        a.0,
        time(y),
        b.0
    ))
}

/// A caution where the layouts are not primed the same way.
fn ways(a: Lettered<'_>, b: Lettered<'_>, steps: (usize, usize)) -> Option<String> {
    let action = |run: &Finished, step: usize| run.loaded.scenario.course.steps[step].action;
    let (x, y) = (action(a.1, steps.0), action(b.1, steps.1));
    (x.sprays() != y.sprays()).then(|| {
        let way = |sprays: bool| if sprays { "spraying" } else { "circulating" };
        format!(
            "{} primes by {} and {} by {}: part of the difference is the way of priming, not the layout.",
            a.0,
            way(x.sprays()),
            b.0,
            way(y.sprays())
        )
    })
}
