//! What each step of a run asks of the operator, and what it gives, in a line or two each.

use super::set_up::set_up;
use crate::results::{Finished, FinishedStep};
use crate::words::allowed;
use sim_core::findings::{Priming, Purge, StepFindings};
use sim_core::plumbing::Plumbing;
use sim_core::procedure::{Action, Step, Until};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// A kind of work at the machine, in the order of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum DayWork {
    Fill,
    Prime,
    Circulate,
    Spray,
    Pause,
    Rinse,
    Purge,
}

impl DayWork {
    pub(super) const ALL: [Self; 7] = [
        Self::Fill,
        Self::Prime,
        Self::Circulate,
        Self::Spray,
        Self::Pause,
        Self::Rinse,
        Self::Purge,
    ];

    /// What it is called.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Fill => "fill",
            Self::Prime => "prime",
            Self::Circulate => "circulate",
            Self::Spray => "spray",
            Self::Pause => "pause",
            Self::Rinse => "rinse",
            Self::Purge => "purge",
        }
    }

    fn of(of: &FinishedStep<'_>) -> Self {
        match of.step.action {
            _ if of.findings.filling.is_some() => Self::Fill,
            Action::Prime => Self::Prime,
            Action::Circulate => Self::Circulate,
            Action::Spray => Self::Spray,
            Action::Stand => Self::Pause,
            Action::Rinse => Self::Rinse,
            Action::Purge => Self::Purge,
        }
    }
}

/// A step on the card.
#[derive(Debug)]
pub(super) struct CardStep {
    pub(super) work: DayWork,
    pub(super) name: String,
    /// What to set, each with how.
    pub(super) set: Vec<(String, String)>,
    /// How long, and when to stop.
    pub(super) until: String,
    /// What it gives.
    pub(super) gives: String,
    /// Its limits that are not met, in words.
    pub(super) unmet: Vec<String>,
}

/// The steps of `finished` for the card, in their own order; of steps that repeat, the first pass.
pub(super) fn card_steps(finished: &Finished) -> Vec<CardStep> {
    let first_pass = |of: &FinishedStep<'_>| {
        of.step.action == Action::Purge || of.step.pass.is_none_or(|(pass, _)| pass == 1)
    };
    let shown = finished.reported_steps().filter(first_pass);
    shown.map(|of| card_step(finished, &of)).collect()
}

fn card_step(finished: &Finished, of: &FinishedStep<'_>) -> CardStep {
    let (machine, step) = (&finished.scenario().machine, of.step);
    let unmet = of.findings.verdicts.iter().filter(|verdict| !verdict.met);
    let unmet = unmet.map(|verdict| {
        let (words, value) = (verdict.measure.words(), verdict.value);
        let value = of.show(value, verdict.measure.quantity());
        let most = if verdict.at_most.is_some() { " at most" } else { "" };
        format!("{words} {value}, {}{most}", allowed(verdict, of.units))
    });
    let unmet = unmet.collect();
    let (set, until, gives) = match &of.findings.purge {
        Some(purge) => (
            purge_set_up(finished, purge),
            purge_until(finished, purge),
            purge_gives(purge, of.units),
        ),
        None => {
            let mut set = filled(&machine.plumbing, step, of.units);
            set.extend(set_up(machine, (&step.settings, &step.controls), of.units));
            (set, until(of), gives(of))
        }
    };
    let name = match &of.findings.purge {
        Some(purge) => match &purge.steps[..] {
            [first, .., last] => format!("{first}\u{201d} to \u{201c}{last}"),
            steps => steps.iter().map(ToString::to_string).collect(),
        },
        None => step.name.clone(),
    };
    CardStep { work: DayWork::of(of), name, set, until, gives, unmet }
}

/// What tanks are filled with before a step, and what runs from tank to tank in it.
fn filled(plumbing: &Plumbing, step: &Step, units: UnitSystem) -> Vec<(String, String)> {
    let loads = step.loads.iter().map(|load| {
        let volume = load.holds_m3.map(|m3| format!("{}, ", show(m3, Q::Volume, units)));
        let strength = show(load.concentration, Q::Share, units);
        let how = format!("{}{strength} of full strength", volume.unwrap_or_default());
        (format!("load {}", plumbing.tank(load.tank).name), how)
    });
    let transfers = step.transfers.iter().map(|transfer| {
        let [from, to] = [transfer.from, transfer.to].map(|tank| &plumbing.tank(tank).name);
        (format!("let {from} into {to}"), show(transfer.flow_m3_s, Q::Flow, units))
    });
    loads.chain(transfers).collect()
}

/// How long a step takes, and what ends it.
fn until(of: &FinishedStep<'_>) -> String {
    let Some((lasts, outcome)) = of.step.lasts.zip(of.findings.outcome.as_ref()) else {
        return "as needed; the scenario gives no time".into();
    };
    let took = of.show(outcome.lasted_s, Q::Duration);
    let repeats = match of.step.pass {
        Some((_, times)) if times > 1 => format!("; {times} times"),
        _ => String::new(),
    };
    match lasts.until {
        Until::Time => format!("for {took}{repeats}"),
        until => {
            let word = until.word().unwrap_or_default();
            format!("until {word}: {took}, {} at most{repeats}", of.show(lasts.most_s, Q::Duration))
        }
    }
}

/// What a step gives, in a sentence or two.
fn gives(of: &FinishedStep<'_>) -> String {
    let (found, mut said) = (of.findings, Vec::new());
    if let Some(filling) = &found.filling {
        let time = |s: f64| format!("Liquid at every tip after {}.", of.show(s, Q::Duration));
        let never = || "Liquid is not at every tip when the step ends.".to_owned();
        said.push(filling.filled_s.map_or_else(never, time));
    }
    said.extend(found.priming.as_ref().map(|priming| full_strength(of, priming)));
    if let Some(boom) = &found.boom {
        said.push(format!(
            "{} at the tips, {} in all.",
            of.show(boom.mean_pressure_pa, Q::Pressure),
            of.show(boom.flow_m3_s, Q::Flow)
        ));
    }
    if let Some(application) =
        found.application.as_ref().filter(|_| of.step.action == Action::Spray)
    {
        said.push(format!(
            "{} at {}.",
            of.show(application.rate_m, Q::ApplicationRate),
            of.show(application.speed_m_s, Q::Speed)
        ));
    }
    if let Some(circulation) = &found.circulation {
        said.push(format!("{} come back to the tank.", of.show(circulation.flow_m3_s, Q::Flow)));
    }
    said.extend(rinsed(of, found));
    if let Some(standing) = &found.standing {
        said.push(format!(
            "{:.0} % of suspended product is still afloat in the tubes at its end; they clear in {}.",
            100.0 * standing.suspended_share,
            of.show(standing.clears_in_s, Q::Duration)
        ));
    }
    said.retain(|sentence| !sentence.is_empty());
    if said.is_empty() { "Nothing moves.".into() } else { said.join(" ") }
}

fn full_strength(of: &FinishedStep<'_>, priming: &Priming) -> String {
    if !priming.new_liquid {
        return String::new();
    }
    let Some(full_s) = priming.all_full_s else {
        return "Not every tip has full strength when the step ends.".into();
    };
    let below = match priming.under_dosed_m3 {
        m3 if m3 > 0.0 => format!("; until then {} go out below it", of.show(m3, Q::Volume)),
        _ => String::new(),
    };
    format!("Full strength at every tip after {}{below}.", of.show(full_s, Q::Duration))
}

fn rinsed(of: &FinishedStep<'_>, found: &StepFindings) -> Option<String> {
    let rinse = found.rinse.as_ref()?;
    let highest = rinse.highest_concentration.as_ref()?;
    let share = of.show(highest.concentration, Q::Share);
    Some(match rinse.rinsed_s {
        Some(s) => format!("Rinsed after {}; {share} at most at a tip.", of.show(s, Q::Duration)),
        None => format!("{share} of full strength at most at a tip when it ends."),
    })
}

/// Where air comes in, at what pressure, and what is open.
fn purge_set_up(finished: &Finished, purge: &Purge) -> Vec<(String, String)> {
    let (machine, units) = (&finished.scenario().machine, finished.units);
    let mut set = Vec::new();
    if let Some(air) = &machine.plumbing.air {
        let regulated = show(air.regulated_pa, Q::Pressure, units);
        let receiver = (air.receiver_m3 > 0.0).then(|| {
            format!(
                ", receiver of {} charged to {}",
                show(air.receiver_m3, Q::Volume, units),
                show(air.charged_to_pa, Q::Pressure, units)
            )
        });
        set.push((
            "air".into(),
            format!("regulated to {regulated}{}", receiver.unwrap_or_default()),
        ));
    }
    let steps = &finished.scenario().course.steps;
    let Some(first) = purge.steps.first().map(|step| &steps[step.id]) else { return set };
    let several = purge.steps.len() > 1;
    let rows = set_up(machine, (&first.settings, &first.controls), units).into_iter();
    // What is open part by part is told below.
    set.extend(rows.filter(|(what, _)| !(several && what == "section valves")));
    set
}

/// The parts of a purge in order, and when to stop.
fn purge_until(finished: &Finished, purge: &Purge) -> String {
    let units = finished.units;
    let time = |s: f64| show(s, Q::Duration, units);
    let steps: Vec<&Step> =
        purge.steps.iter().map(|step| &finished.scenario().course.steps[step.id]).collect();
    let sections = |step: &Step| {
        let all = &finished.plumbing().sections;
        let open = all.iter().filter(|section| {
            section.valve.is_some_and(|valve| step.settings.opening[valve.index()] > 0.0)
        });
        let names: Vec<&str> = open.map(|section| section.name.as_str()).collect();
        if names.len() == all.len() { "all".to_owned() } else { names.join("+") }
    };
    let lasts = |step: &Step| step.lasts.map_or(0.0, |lasts| lasts.most_s);
    let mut said = match &steps[..] {
        [first, _, ..] => {
            let even = steps.iter().all(|step| lasts(step) == lasts(first));
            let each = |step: &&Step| match even {
                true => sections(step),
                false => format!("{} for {}", sections(step), time(lasts(step))),
            };
            let parts: Vec<String> = steps.iter().map(each).collect();
            let even = if even { format!(", {} each", time(lasts(first))) } else { String::new() };
            format!(
                "open sections in this order{even}: {}; {} in all",
                parts.join(", "),
                time(purge.lasted_s)
            )
        }
        _ => format!("for {}", time(purge.lasted_s)),
    };
    if let Some(back) = &purge.ran_back {
        said.push_str(&format!(
            ". Close the return valve by {}: after that the air no longer holds the liquid",
            time(back.most_returned_at_s)
        ));
    }
    said
}

fn purge_gives(purge: &Purge, units: UnitSystem) -> String {
    let volume = |m3: f64| show(m3, Q::Volume, units);
    let most = purge.most_returned_s.map(|s| {
        format!(
            " 90 % of it is back after {}; stop when only mist comes back.",
            show(s, Q::Duration, units)
        )
    });
    let opened =
        purge.opened.as_ref().map(|opened| format!(" {} tips open while air blows.", opened.count));
    format!(
        "{} of {} come back, {} stay in the lines, {} go out of tips.{}{}",
        volume(purge.returned_m3),
        volume(purge.at_start_m3),
        volume(purge.residual.liquid_m3),
        volume(purge.lost_m3),
        most.unwrap_or_default(),
        opened.unwrap_or_default()
    )
}
