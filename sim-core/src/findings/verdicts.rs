//! Limits, met or not.

use super::step::{Measure, StepFindings, Verdict};
use crate::plumbing::Side;
use crate::scenario::{Limit, Scenario};

/// A value to judge and where it stands.
type Worst = Option<(f64, Option<String>)>;

pub(super) fn verdicts(scenario: &Scenario, findings: &StepFindings) -> Vec<Verdict> {
    let limits = &scenario.limits;
    let sides = |suction: bool| fastest(scenario, findings, suction);
    let judged: [(&'static str, &'static str, &Option<Limit>, Measure, Worst); 10] = [
        ("spread", "spread of tip pressures", &limits.spread, Measure::Share, {
            findings.boom.as_ref().map(|boom| (boom.spread, None))
        }),
        ("section_drop", "drop, gauge to far end", &limits.section_drop, Measure::Share, {
            section_drop(scenario, findings)
        }),
        (
            "section_balance",
            "section feed end, off mean",
            &limits.section_balance,
            Measure::Share,
            section_balance(scenario, findings),
        ),
        ("tip_flow", "tip flow, off mean", &limits.tip_flow, Measure::Share, {
            tip_flow(scenario, findings)
        }),
        (
            "tip_flow_variation",
            "variation of tip flows",
            &limits.tip_flow_variation,
            Measure::Share,
            findings.boom.as_ref().map(|boom| (boom.flow_variation, None)),
        ),
        (
            "velocity",
            "velocity after the pump",
            &limits.velocity_m_s,
            Measure::Velocity,
            sides(false),
        ),
        (
            "suction_velocity",
            "velocity in suction",
            &limits.suction_velocity_m_s,
            Measure::Velocity,
            { sides(true) },
        ),
        ("prime_within", "full strength everywhere", &limits.prime_within_s, Measure::Time, {
            prime(scenario, findings)
        }),
        ("rinsed_to", "strength left at tips", &limits.rinsed_to, Measure::Share, {
            rinsed(scenario, findings)
        }),
        ("rate", "rate, off the wanted", &limits.rate, Measure::Share, { rate(findings) }),
    ];
    let verdict = |(limit, meaning, demanded, measure, worst): (
        &'static str,
        &'static str,
        &Option<Limit>,
        Measure,
        Worst,
    )| {
        let (demanded, (value, place)) = (demanded.as_ref()?, worst?);
        let at_most = demanded.at_most;
        let source = demanded.source.clone();
        let met = value <= at_most;
        Some(Verdict { limit, meaning, value, at_most, measure, place, source, met })
    };
    judged.into_iter().filter_map(verdict).collect()
}

/// The largest of `values`, by name.
fn largest(values: impl Iterator<Item = (f64, String)>) -> Worst {
    values.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(value, name)| (value, Some(name)))
}

fn section_name(scenario: &Scenario, index: usize) -> String {
    format!("section {}", scenario.plumbing.sections[index].name)
}

fn section_drop(scenario: &Scenario, findings: &StepFindings) -> Worst {
    largest(findings.sections.iter().filter_map(|section| {
        Some((section.drop_from_gauge?, section_name(scenario, section.section.index())))
    }))
}

fn section_balance(scenario: &Scenario, findings: &StepFindings) -> Worst {
    let ends = || {
        let running = findings.sections.iter().filter(|section| section.running > 0);
        running.filter_map(|section| Some((section.feed_end_pa?, section.section.index())))
    };
    let count = ends().count();
    if count < 2 {
        return None;
    }
    let mean = ends().map(|(pa, _)| pa).sum::<f64>() / count as f64;
    largest(ends().map(|(pa, i)| ((pa / mean - 1.0).abs(), section_name(scenario, i))))
}

fn tip_flow(scenario: &Scenario, findings: &StepFindings) -> Worst {
    largest(findings.tips.iter().filter_map(|tip| {
        let name = &scenario.plumbing.tips[tip.tip.index()].name;
        Some((tip.from_mean?.abs(), format!("tip {name}")))
    }))
}

fn fastest(scenario: &Scenario, findings: &StepFindings, suction: bool) -> Worst {
    largest(findings.losses.iter().filter_map(|loss| {
        let branch = scenario.plumbing.branch(loss.branch);
        let wanted = (branch.side == Side::Suction) == suction;
        Some((loss.velocity_m_s.filter(|_| wanted)?, format!("line {}", branch.name)))
    }))
}

/// Time until full strength everywhere; a step too short to see it counts as its whole length and more.
fn prime(scenario: &Scenario, findings: &StepFindings) -> Worst {
    let priming = findings.priming.as_ref().filter(|priming| priming.any_late)?;
    if let Some(all_full_s) = priming.all_full_s {
        return Some((all_full_s, None));
    }
    let late = priming.arrivals.iter().position(|arrival| arrival.full_s.is_none())?;
    let name = format!("tip {} (not yet)", scenario.plumbing.tips[late].name);
    let demanded = scenario.limits.prime_within_s.as_ref().map_or(0.0, |limit| limit.at_most);
    Some((priming.lasted_s.max(demanded * (1.0 + 1e-9)), Some(name)))
}

fn rinsed(scenario: &Scenario, findings: &StepFindings) -> Worst {
    let (tip, strength) = findings.rinse.as_ref()?.strongest?;
    Some((strength, Some(format!("tip {}", scenario.plumbing.tips[tip.index()].name))))
}

fn rate(findings: &StepFindings) -> Worst {
    let application = findings.application.as_ref()?;
    Some(((application.rate_m / application.wanted_m? - 1.0).abs(), None))
}
