//! Limits: each that is not met on a line of its own, the others counted.

use crate::columns::broken;
use crate::results::{Finished, FinishedStep};
use crate::tables::purge::called;
use crate::words::{allowed, limits, place_name};
use sim_core::findings::Verdict;
use sim_core::measures::Measure;
use sim_core::units::show;

/// Limits that have a line before the rest is only counted.
const MOST_LINES: usize = 8;
/// What a line begins with, and where its text begins.
const NOT_MET: &str = "NOT MET  ";
const MET: &str = "met      ";
const INDENT: &str = "         ";

/// A limit, the step that misses it by most, and how many others do.
struct Unmet<'a> {
    of: FinishedStep<'a>,
    verdict: &'a Verdict,
    other_steps: usize,
}

/// Every limit that is not met, and how many others are met.
pub(super) fn lines(finished: &Finished, width: usize) -> String {
    let unmet = unmet(finished);
    let mut out: String =
        unmet.iter().take(MOST_LINES).map(|one| one.line(finished, width)).collect();
    if unmet.len() > MOST_LINES {
        out.push_str(&format!("{INDENT}and {} more: --show limits\n", unmet.len() - MOST_LINES));
    }
    let verdicts = finished.reported_steps().flat_map(|of| &of.findings.verdicts);
    let (met, others): (Vec<&Verdict>, Vec<&Verdict>) = verdicts.partition(|verdict| verdict.met);
    match (met.len(), others.len()) {
        (0, 0) => out.push_str("No limit applies to this run.\n"),
        (0, _) => {}
        (met, 0) if unmet.is_empty() => out.push_str(&format!("{MET}{}\n", limits(met))),
        (1, _) => out.push_str(&format!("{MET}one other limit\n")),
        (met, _) => out.push_str(&format!("{MET}{met} other limits\n")),
    }
    out
}

/// Every limit that is not met, and nothing else.
pub(crate) fn not_met(finished: &Finished, width: usize) -> String {
    unmet(finished).iter().map(|one| one.line(finished, width)).collect()
}

/// The limits that are not met, each once.
fn unmet(finished: &Finished) -> Vec<Unmet<'_>> {
    let mut unmet: Vec<Unmet<'_>> = Vec::new();
    for of in finished.all_steps() {
        for verdict in of.findings.verdicts.iter().filter(|verdict| !verdict.met) {
            let same = |one: &&mut Unmet<'_>| limit_of(one.verdict) == limit_of(verdict);
            match unmet.iter_mut().find(same) {
                Some(one) if excess(verdict) > excess(one.verdict) => {
                    *one = Unmet { of, verdict, other_steps: one.other_steps + 1 };
                }
                Some(one) => one.other_steps += 1,
                None => unmet.push(Unmet { of, verdict, other_steps: 0 }),
            }
        }
    }
    unmet
}

/// What tells limits apart.
fn limit_of(verdict: &Verdict) -> (Measure, Option<f64>, Option<f64>) {
    (verdict.measure, verdict.at_most, verdict.at_least)
}

/// By how much a limit is missed, SI.
fn excess(verdict: &Verdict) -> f64 {
    let over = verdict.at_most.map_or(f64::NEG_INFINITY, |most| verdict.value - most);
    over.max(verdict.at_least.map_or(f64::NEG_INFINITY, |least| least - verdict.value))
}

impl Unmet<'_> {
    /// The limit as a line of `width`, of two where one is too short.
    fn line(&self, finished: &Finished, width: usize) -> String {
        let place = place_name(self.verdict).map(|place| format!(" ({place})"));
        let place = place.unwrap_or_default();
        let source = match self.verdict.source.as_str() {
            "scenario" => "the scenario",
            source => source,
        };
        // How a figure of a standard is known is in the table of limits, if there is no space for it here.
        let short = source.split(',').next().unwrap_or(source);
        let tries = [(&*place, source), (&*place, short), ("", short)];
        let lines = tries.map(|(place, source)| {
            format!("{NOT_MET}{}", self.sentence(finished.has_several_steps(), place, source))
        });
        let fits = lines.iter().find(|line| line.chars().count() <= width);
        match fits {
            Some(line) => format!("{line}\n"),
            None => broken_after(NOT_MET, &lines[1][NOT_MET.len()..], width),
        }
    }

    fn sentence(&self, names_step: bool, place: &str, source: &str) -> String {
        let (verdict, units) = (self.verdict, self.of.units);
        let step = if names_step { format!(" in {}", called(&self.of)) } else { String::new() };
        let others = match self.other_steps {
            0 => String::new(),
            1 => ", and in one other step".to_owned(),
            count => format!(", and in {count} other steps"),
        };
        let most = if verdict.at_least.is_none() { "at most " } else { "" };
        format!(
            "{}: {}{step}{place}{others}; {most}{} ({source})",
            verdict.measure.words(),
            self.found(),
            allowed(verdict, units)
        )
    }

    /// What was found instead.
    fn found(&self) -> String {
        let (verdict, units) = (self.verdict, self.of.units);
        if verdict.measure == Measure::SetpointOff {
            let off = |control: &&sim_core::findings::ControlFinding| {
                let (_, setpoint, actual) = control.held.values();
                (actual / setpoint - 1.0).abs()
            };
            let controls = self.of.findings.controls.iter();
            if let Some(control) = controls.max_by(|a, b| off(a).total_cmp(&off(b))) {
                let (quantity, setpoint, actual) = control.held.values();
                return format!(
                    "{} wanted at {}, {} reached with {} at {:.0} %",
                    show(setpoint, quantity, units),
                    control.at,
                    show(actual, quantity, units),
                    control.actuator,
                    100.0 * control.actuator_share
                );
            }
        }
        match verdict.reached {
            true => show(verdict.value, verdict.measure.quantity(), units),
            false => "not reached".to_owned(),
        }
    }
}

/// `start` and `text` in lines of `width`, those after the first as far in as `start` is long.
fn broken_after(start: &str, text: &str, width: usize) -> String {
    let lines = broken(text, "", width - start.len());
    let indented = lines.lines().enumerate().map(|(i, line)| {
        format!("{}{line}\n", if i == 0 { start.to_owned() } else { " ".repeat(start.len()) })
    });
    indented.collect()
}
