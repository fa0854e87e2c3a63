//! Limits, met or not.

use super::purge::Purge;
use super::step::StepFindings;
use super::verdict::{Measure, Verdict};
use crate::plumbing::Side;
use crate::scenario::{Limit, Scenario};

/// A value to judge and where it stands.
type Worst = Option<(f64, Option<String>)>;

pub(super) fn verdicts(scenario: &Scenario, findings: &StepFindings) -> Vec<Verdict> {
    let limits = &scenario.limits;
    let sides = |suction: bool| fastest(findings, suction);
    let judged: [(&'static str, &'static str, &Option<Limit>, Measure, Worst); 10] = [
        ("spread", "spread of tip pressures", &limits.spread, Measure::Share, {
            findings.boom.as_ref().map(|boom| (boom.pressure_variation_share, None))
        }),
        ("section_drop", "drop, gauge to far end", &limits.section_drop, Measure::Share, {
            section_drop(findings)
        }),
        (
            "section_balance",
            "section feed end, off mean",
            &limits.section_balance,
            Measure::Share,
            section_balance(findings),
        ),
        ("tip_flow", "tip flow, off mean", &limits.tip_flow, Measure::Share, {
            tip_flow(findings)
        }),
        (
            "tip_flow_variation",
            "variation of tip flows",
            &limits.tip_flow_variation,
            Measure::Share,
            findings.boom.as_ref().map(|boom| (boom.flow_variation_share, None)),
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
            rinsed(findings)
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
        Some(Verdict { limit, meaning, value, at_most, unit: measure, place, source, met })
    };
    judged.into_iter().filter_map(verdict).collect()
}

/// The largest of `values`, by name.
fn largest(values: impl Iterator<Item = (f64, String)>) -> Worst {
    values.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(value, name)| (value, Some(name)))
}

fn section_drop(findings: &StepFindings) -> Worst {
    largest(findings.sections.iter().filter_map(|section| {
        Some((section.drop_from_gauge_share?, format!("section {}", section.section)))
    }))
}

fn section_balance(findings: &StepFindings) -> Worst {
    let ends = || {
        let running = findings.sections.iter().filter(|section| section.running_tips > 0);
        running.filter_map(|section| Some((section.feed_end_pa?, &section.section)))
    };
    let count = ends().count();
    if count < 2 {
        return None;
    }
    let mean = ends().map(|(pa, _)| pa).sum::<f64>() / count as f64;
    largest(ends().map(|(pa, section)| ((pa / mean - 1.0).abs(), format!("section {section}"))))
}

fn tip_flow(findings: &StepFindings) -> Worst {
    let running = findings.tips.iter();
    largest(
        running.filter_map(|tip| Some((tip.from_mean_share?.abs(), format!("tip {}", tip.tip)))),
    )
}

fn fastest(findings: &StepFindings, suction: bool) -> Worst {
    let of_side = findings.losses.iter().filter(|loss| (loss.side == Side::Suction) == suction);
    largest(of_side.filter_map(|loss| Some((loss.velocity_m_s?, format!("line {}", loss.branch)))))
}

/// Time until full strength everywhere; a step too short to see it counts as its whole length and more.
fn prime(scenario: &Scenario, findings: &StepFindings) -> Worst {
    let priming = findings.priming.as_ref().filter(|priming| priming.new_liquid)?;
    if let Some(all_full_s) = priming.all_full_s {
        return Some((all_full_s, None));
    }
    let late = priming.tips.iter().find(|tip| tip.full_s.is_none())?;
    let name = format!("tip {} (not yet)", late.tip);
    let demanded = scenario.limits.prime_within_s.as_ref().map_or(0.0, |limit| limit.at_most);
    Some((findings.outcome.as_ref()?.lasted_s.max(demanded * (1.0 + 1e-9)), Some(name)))
}

fn rinsed(findings: &StepFindings) -> Worst {
    let strongest = findings.rinse.as_ref()?.strongest.as_ref()?;
    Some((strongest.concentration, Some(format!("tip {}", strongest.tip))))
}

fn rate(findings: &StepFindings) -> Worst {
    let application = findings.application.as_ref()?;
    Some(((application.rate_m / application.target_rate_m? - 1.0).abs(), None))
}

/// Residual a boom sprayer may keep: share of its tank and volume for each metre of boom, m3 (ISO 16119-2, from
/// memory).
const RESIDUAL: (f64, f64) = (0.005, 2e-3);

pub(super) fn of_purge(scenario: &Scenario, purge: &Purge) -> Vec<Verdict> {
    let worst = purge.by_line.first();
    let place = worst.map(|worst| format!("most in {}", worst.line));
    let verdict = |limit, meaning, value, place: Option<String>, demanded: &Limit| Verdict {
        limit,
        meaning,
        value,
        at_most: demanded.at_most,
        unit: Measure::Volume,
        place,
        source: demanded.source.clone(),
        met: value <= demanded.at_most,
    };
    let mut verdicts = Vec::new();
    let residual_m3 = purge.residual.liquid_m3;
    if let Some(demanded) = &scenario.limits.left_behind_m3 {
        let meaning = "left behind by the purge";
        verdicts.push(verdict("left_behind", meaning, residual_m3, place.clone(), demanded));
    }
    if let Some(demanded) = &scenario.limits.lost_m3 {
        verdicts.push(verdict("lost", "lost through tips", purge.lost_m3, None, demanded));
    }
    if let Some(at_most) = residual_limit(scenario) {
        let source = "ISO 16119-2, from memory".to_owned();
        let demanded = Limit { at_most, source };
        verdicts.push(verdict("residual", "left in the lines", residual_m3, place, &demanded));
    }
    verdicts
}

/// What a boom sprayer of this tank and width may keep, m3, if both are known.
fn residual_limit(scenario: &Scenario) -> Option<f64> {
    let plumbing = &scenario.machine.plumbing;
    let capacity = plumbing.tanks.first()?.capacity_m3?;
    let places = || plumbing.tips.iter().map(|tip| tip.x_m);
    let width = places().reduce(f64::max)? - places().reduce(f64::min)?;
    (width > 0.0).then_some(RESIDUAL.0 * capacity + RESIDUAL.1 * width)
}
