//! Limits, met or not.

use super::spraying::{StepFindings, Verdict};
use crate::plumbing::Side;
use crate::scenario::{Limit, Scenario};

/// A value to judge and where it stands.
type Worst = Option<(f64, Option<String>)>;

pub(super) fn verdicts(scenario: &Scenario, findings: &StepFindings) -> Vec<Verdict> {
    let limits = &scenario.limits;
    let sides = |suction: bool| fastest(scenario, findings, suction);
    let judged: [(&'static str, &'static str, &Option<Limit>, bool, Worst); 8] = [
        ("spread", "spread of tip pressures", &limits.spread, false, {
            findings.boom.as_ref().map(|boom| (boom.spread, None))
        }),
        ("section_drop", "drop, gauge to far end", &limits.section_drop, false, {
            section_drop(scenario, findings)
        }),
        (
            "section_balance",
            "section feed end, off mean",
            &limits.section_balance,
            false,
            section_balance(scenario, findings),
        ),
        ("tip_flow", "tip flow, off mean", &limits.tip_flow, false, {
            tip_flow(scenario, findings)
        }),
        (
            "tip_flow_variation",
            "variation of tip flows",
            &limits.tip_flow_variation,
            false,
            findings.boom.as_ref().map(|boom| (boom.flow_variation, None)),
        ),
        ("velocity", "velocity after the pump", &limits.velocity_m_s, true, sides(false)),
        ("suction_velocity", "velocity in suction", &limits.suction_velocity_m_s, true, {
            sides(true)
        }),
        ("rate", "rate, off the wanted", &limits.rate, false, { rate(findings) }),
    ];
    let verdict = |(limit, meaning, demanded, is_velocity, worst): (
        &'static str,
        &'static str,
        &Option<Limit>,
        bool,
        Worst,
    )| {
        let (demanded, (value, place)) = (demanded.as_ref()?, worst?);
        let at_most = demanded.at_most;
        let source = demanded.source.clone();
        let met = value <= at_most;
        Some(Verdict { limit, meaning, value, at_most, is_velocity, place, source, met })
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

fn rate(findings: &StepFindings) -> Worst {
    let application = findings.application.as_ref()?;
    Some(((application.rate_m / application.wanted_m? - 1.0).abs(), None))
}
