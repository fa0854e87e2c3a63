//! Why one layout does better than another: one paragraph, every figure of it from the findings.

mod lettered;
mod priming;
mod purge;

use crate::results::Finished;
use lettered::Lettered;
use sim_core::findings::{BoomFinding, StepFindings};
use sim_core::units::{Quantity as Q, show};

/// Why `b` differs from `a`.
pub(super) fn explained(a: Lettered<'_>, b: Lettered<'_>) -> String {
    let mut sentences = priming::sentences(a, b);
    let others = [standing_legs, returning, evenness, purge::sentence, limits];
    sentences.extend(others.iter().filter_map(|reason| reason(a, b)));
    sentences.join(" ")
}

/// The same in single sentences, the most telling first.
pub(super) fn in_short(a: Lettered<'_>, b: Lettered<'_>) -> Vec<String> {
    let mut sentences = priming::in_short(a, b);
    let others = [purge::sentence, limits, evenness, returning, standing_legs];
    sentences
        .extend(others.iter().filter_map(|reason| reason(a, b)).flat_map(|text| parted(&text)));
    sentences.extend(priming::lagging(a, b));
    sentences
}

/// The sentences of `text`, none of which holds a full stop and a space.
fn parted(text: &str) -> Vec<String> {
    let sentences = text.split_inclusive(". ").map(|sentence| sentence.trim().to_owned());
    sentences.collect()
}

/// What is beside the stream.
fn standing_legs(a: Lettered<'_>, b: Lettered<'_>) -> Option<String> {
    let (x, y) = (most_flow(a.1)?, most_flow(b.1)?);
    let one = |letter: char, boom: &BoomFinding| match boom.still_tubes {
        0 => format!("no liquid is still in the tubes of {letter}"),
        count => format!(
            "nothing flows through {count} {} of tube in {letter} ({})",
            if count == 1 { "length" } else { "lengths" },
            show(boom.still_tubes_m3, Q::Volume, a.1.units)
        ),
    };
    if x.still_tubes + y.still_tubes == 0 {
        return None;
    }
    Some(format!("While spraying {}; {}.", one(a.0, x), one(b.0, y)))
}

/// The boom while the most flows out of its tips.
fn most_flow(run: &Finished) -> Option<&BoomFinding> {
    let booms = run.findings.iter().filter_map(|found| found.boom.as_ref());
    // Of equal flows the first counts.
    booms.reduce(|most, boom| if boom.flow_m3_s > most.flow_m3_s { boom } else { most })
}

/// What comes back to the tank, where only one layout has a return.
fn returning(a: Lettered<'_>, b: Lettered<'_>) -> Option<String> {
    let most = |(letter, run): Lettered<'_>| {
        let flows = run.all_steps().filter_map(|of| {
            let circulation = of.findings.circulation.as_ref()?;
            Some((letter, of.step.name.clone(), circulation.flow_m3_s))
        });
        flows.max_by(|x, y| x.2.total_cmp(&y.2))
    };
    let (letter, step, flow) = match (most(a), most(b)) {
        (Some(only), None) | (None, Some(only)) => only,
        _ => return None,
    };
    let flow = show(flow, Q::Flow, a.1.units);
    Some(format!("Only {letter} returns liquid to the tank: {flow} in step {step}."))
}

/// How even the pressure is in the first step of each layout that sprays.
fn evenness(a: Lettered<'_>, b: Lettered<'_>) -> Option<String> {
    let first = |(letter, run): Lettered<'_>| {
        let boom = run.findings.iter().find_map(|found: &StepFindings| found.boom.clone())?;
        let pressure = show(boom.mean_pressure_pa, Q::Pressure, run.units);
        Some(format!(
            "{pressure} on average and vary by {:.1} % in {letter}",
            100.0 * boom.pressure_variation_share
        ))
    };
    Some(format!("Spraying, tip pressures are {}, {}.", first(a)?, first(b)?))
}

/// Limits that the layouts miss.
fn limits(a: Lettered<'_>, b: Lettered<'_>) -> Option<String> {
    let sentences = [a, b].map(missed);
    if sentences.iter().all(|sentence| sentence.ends_with(EVERY)) {
        return Some("Both meet every limit.".into());
    }
    Some(sentences.join(" ").trim().to_owned()).filter(|sentences| !sentences.is_empty())
}

/// How the sentence on a layout that misses no limit ends.
const EVERY: &str = "meets every limit.";

/// Limits that a layout misses.
fn missed((letter, run): Lettered<'_>) -> String {
    let verdicts = || run.findings.iter().flat_map(|found| &found.verdicts);
    let mut missed: Vec<&str> = verdicts().filter(|v| !v.met).map(|v| v.measure.words()).collect();
    missed.sort_unstable();
    missed.dedup();
    match (verdicts().count(), missed.len()) {
        (0, _) => String::new(),
        (_, 0) => format!("{letter} {EVERY}"),
        _ => format!("{letter} does not meet the limits on {}.", missed.join("; ")),
    }
}
