//! Why new liquid comes later to the tips of one layout: which stretches lag, how many litres, and why.

use super::Lettered;
use crate::results::FinishedStep;
use sim_core::findings::{LossFinding, Priming, SectionPriming};
use sim_core::plumbing::Side;
use sim_core::units::Quantity as Q;

/// Times of full strength this near each other count as alike, s.
const ALIKE_S: f64 = 0.5;
/// Share of a section's wait from which its tips count as its last ones.
const LAST_PART: f64 = 0.75;
/// Reynolds number up to which flow in a line is laminar (Hagen-Poiseuille).
const LAMINAR: f64 = 2000.0;
/// Sections that are named where several lag.
const MOST_NAMED: usize = 2;

/// The step of a layout that brings new liquid to the tips.
#[derive(Clone, Copy)]
struct Primed<'a> {
    letter: char,
    of: FinishedStep<'a>,
    lasted_s: f64,
    priming: &'a Priming,
}

/// What the coming of new liquid to the tips of `a` and `b` has to say.
pub(super) fn sentences(a: Lettered<'_>, b: Lettered<'_>) -> Vec<String> {
    let (a, b) = match both(a, b) {
        Ok(both) => both,
        Err(sentences) => return sentences,
    };
    let mut sentences = vec![times(a, b)];
    sentences.extend(litres(a, b));
    sentences.extend(later_first(a, b).iter().filter_map(Primed::lagging));
    sentences.extend(turnovers(a, b));
    sentences.extend(ways(a, b));
    sentences
}

/// The most telling of it.
pub(super) fn in_short(a: Lettered<'_>, b: Lettered<'_>) -> Vec<String> {
    match both(a, b) {
        Ok((a, b)) => {
            let others = [litres(a, b), ways(a, b)];
            std::iter::once(times(a, b)).chain(others.into_iter().flatten()).collect()
        }
        Err(sentences) => sentences,
    }
}

/// Which stretches come last on the layout that is later.
pub(super) fn lagging(a: Lettered<'_>, b: Lettered<'_>) -> Option<String> {
    let (a, b) = both(a, b).ok()?;
    let [later, _] = later_first(a, b);
    later.last_tips()
}

/// The steps of both layouts that bring new liquid to the tips; what there is to say where they have not both one.
fn both<'a>(a: Lettered<'a>, b: Lettered<'a>) -> Result<(Primed<'a>, Primed<'a>), Vec<String>> {
    match (Primed::first(a), Primed::first(b)) {
        (Some(of_a), Some(of_b)) => Ok((of_a, of_b)),
        (Some(only), None) | (None, Some(only)) => {
            Err(vec![format!("Only {} has new liquid to bring to its tips.", only.letter)])
        }
        (None, None) => Err(Vec::new()),
    }
}

fn later_first<'a>(a: Primed<'a>, b: Primed<'a>) -> [Primed<'a>; 2] {
    let late = |primed: &Primed<'_>| primed.priming.all_full_s.unwrap_or(f64::INFINITY);
    if late(&a) >= late(&b) { [a, b] } else { [b, a] }
}

/// When every tip is full.
fn times(a: Primed<'_>, b: Primed<'_>) -> String {
    let start = "From the start of its step, every tip has full strength";
    match (a.priming.all_full_s, b.priming.all_full_s) {
        (Some(x), Some(y)) if (x - y).abs() < ALIKE_S => {
            let (of_a, of_b) = (a.time(x), b.time(y));
            format!("{start} after {of_a} in {} and {of_b} in {}: alike.", a.letter, b.letter)
        }
        (Some(x), Some(y)) => {
            let ((first, early_s), (second, late_s)) =
                if x < y { ((a, x), (b, y)) } else { ((b, y), (a, x)) };
            let (early, late, sooner) = (a.time(early_s), a.time(late_s), a.time(late_s - early_s));
            let (first, second) = (first.letter, second.letter);
            format!(
                "{start} after {early} in {first} and after {late} in {second}: {sooner} sooner."
            )
        }
        _ => {
            let one = |of: Primed<'_>| match of.priming.all_full_s {
                Some(full) => format!("in {} after {}", of.letter, of.time(full)),
                None => format!("in {} not within {}", of.letter, of.time(of.lasted_s)),
            };
            format!("{start} {}, {}.", one(a), one(b))
        }
    }
}

/// What was sprayed below full strength.
fn litres(a: Primed<'_>, b: Primed<'_>) -> Option<String> {
    if a.priming.under_dosed_m3 + b.priming.under_dosed_m3 <= 0.0 {
        return None;
    }
    let one = |Primed { letter, of, priming, .. }: Primed<'_>| {
        if priming.under_dosed_m3 <= 0.0 {
            return format!("{letter} sprays nothing below full strength");
        }
        let travel = priming.under_dosed_distance_m;
        let travel = travel.map(|m| format!(" over {} of travel", of.show(m, Q::Length)));
        let volume = of.show(priming.under_dosed_m3, Q::Volume);
        format!("{letter} sprays {volume} below full strength{}", travel.unwrap_or_default())
    };
    Some(format!("Until then {}, {}.", one(a), one(b)))
}

impl<'a> Primed<'a> {
    /// The first step that brings new liquid to the tips, and what it brought.
    fn first((letter, run): Lettered<'a>) -> Option<Self> {
        let mut primed = run.all_steps().filter_map(|of| {
            let lasted_s = of.findings.outcome.as_ref()?.lasted_s;
            Some(Self { letter, of, lasted_s, priming: of.findings.priming.as_ref()? })
        });
        primed.find(|primed| primed.priming.new_liquid)
    }

    fn time(&self, s: f64) -> String {
        self.of.show(s, Q::Duration)
    }

    /// Which stretches come last, and what passes them.
    fn lagging(&self) -> Option<String> {
        Some(self.last_tips()? + &self.past())
    }

    /// Which stretches come last.
    fn last_tips(&self) -> Option<String> {
        let last_s = |section: &SectionPriming| section.last_s.unwrap_or(f64::INFINITY);
        let sections = self.priming.sections.iter().filter(|section| section.first_s.is_some());
        let mut sections: Vec<&SectionPriming> = sections.collect();
        sections
            .sort_by(|x, y| last_s(y).total_cmp(&last_s(x)).then(x.section.id.cmp(&y.section.id)));
        let named = sections.iter().take(MOST_NAMED);
        let named: Vec<String> = named.map(|section| self.late_tips(section)).collect();
        let names = named.join(" and ");
        (!named.is_empty()).then(|| format!("In {} the last are {names}.", self.letter))
    }

    /// The tips of `section` that come last, and how long they wait.
    fn late_tips(&self, section: &SectionPriming) -> String {
        let (first, last) = (section.first_s.unwrap_or(0.0), section.last_s);
        let from = first + LAST_PART * (last.unwrap_or(f64::INFINITY) - first);
        let tips = self.of.plumbing().tips.iter().zip(&self.priming.tips);
        let late = tips.filter(|(tip, arrival)| {
            tip.section == Some(section.section.id)
                && arrival.full_s.unwrap_or(f64::INFINITY) >= from.min(self.lasted_s)
        });
        let names: Vec<&str> = late.map(|(tip, _)| tip.name.as_str()).collect();
        let wait = match last {
            Some(last) => format!("{} after the section's first", self.time(last - first)),
            None => "not full when the step ends".to_owned(),
        };
        format!("{} of section {} ({wait})", listed(&names), section.section)
    }

    /// What flows past the tip that comes last; empty where that is not known.
    fn past(&self) -> String {
        let plumbing = self.of.plumbing();
        let full = |i: usize| self.priming.tips[i].full_s.unwrap_or(f64::INFINITY);
        let tips = 0..plumbing.tips.len();
        let latest = tips.max_by(|a, b| full(*a).total_cmp(&full(*b)).then(b.cmp(a)));
        let Some(tip) = latest.map(|i| &plumbing.tips[i]) else { return String::new() };
        let touches = |loss: &&LossFinding| {
            let branch = plumbing.branch(loss.branch.id);
            branch.side == Side::Boom && [branch.from, branch.to].contains(&tip.node)
        };
        let beside = self.of.findings.losses.iter().filter(touches);
        let fastest = beside.filter_map(|loss| Some((loss.velocity_m_s?, loss.reynolds?)));
        let Some((velocity, reynolds)) = fastest.max_by(|a, b| a.0.total_cmp(&b.0)) else {
            return String::new();
        };
        let laminar = if reynolds <= LAMINAR {
            ": laminar, so that old liquid stays at the wall"
        } else {
            ""
        };
        format!(
            " What passes tip {} moves at {} (Reynolds number {}{laminar}).",
            tip.name,
            self.of.show(velocity, Q::Velocity),
            (reynolds / 10.0).round() * 10.0
        )
    }
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

/// How fast the lines turn over.
fn turnovers(a: Primed<'_>, b: Primed<'_>) -> Option<String> {
    let one =
        |of: Primed<'_>| Some(format!("in {} in {}", of.time(of.priming.turnover_s?), of.letter));
    Some(format!("The moving lines turn over {}, {}.", one(a)?, one(b)?))
}

/// A caution where the layouts are not primed the same way.
fn ways(a: Primed<'_>, b: Primed<'_>) -> Option<String> {
    let [x, y] = [a, b].map(|primed| primed.of.step.action.sprays());
    let way = |sprays: bool| if sprays { "spraying" } else { "circulating" };
    (x != y).then(|| {
        format!(
            "{} primes by {} and {} by {}: part of the difference is the way of priming, not the layout.",
            a.letter,
            way(x),
            b.letter,
            way(y)
        )
    })
}
