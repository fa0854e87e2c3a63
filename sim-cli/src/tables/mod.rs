//! What a run prints: the answer first, then the figures behind it.

mod course;
pub(crate) mod diagnosis;
mod losses;
mod page;
mod priming;
mod pump;
pub(crate) mod purge;
mod sections;
pub(crate) mod sheets;
pub(crate) mod tips;
pub(crate) mod verdicts;

pub(crate) use page::{Block, Page};

use crate::columns::wrapped;
use crate::results::Finished;
use crate::words::{CAUTION, LIMITS_OF_THE_MODEL, judged, sentence};
use sim_core::findings::StepFindings;
use sim_core::procedure::{Action, Step};
use sim_core::scenario::Scenario;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Everything a run prints.
pub(crate) fn report(finished: &Finished, units: UnitSystem) -> String {
    let scenario = &finished.loaded.scenario;
    let title = page::underlined(&scenario.title, "=");
    let about = scenario.about.as_deref().map(|about| wrapped(about, ""));
    title + &about.unwrap_or_default() + &page(finished, units).to_text()
}

/// What a run has to say, below its title.
pub(crate) fn page(finished: &Finished, units: UnitSystem) -> Page {
    let scenario = &finished.loaded.scenario;
    let mut out = Page::default();
    let steps = scenario.course.steps.iter().zip(&finished.findings);
    for (step, findings) in steps.filter(|(step, _)| !step.is_middle_pass()) {
        if step.action == Action::Purge {
            purge::report(&mut out, scenario, findings, units);
            continue;
        }
        of_step(&mut out, scenario, step, findings, units);
    }
    volumes(&mut out, scenario, units);
    out.paragraph(LIMITS_OF_THE_MODEL);
    out.paragraph(CAUTION);
    out
}

fn of_step(
    out: &mut Page,
    scenario: &Scenario,
    step: &Step,
    findings: &StepFindings,
    units: UnitSystem,
) {
    let verdict = judged(findings);
    let pass = step.pass.filter(|(_, of)| *of > 1);
    let pass = pass.map(|(pass, of)| format!(", pass {pass} of {of}")).unwrap_or_default();
    out.blocks.push(Block::Step(format!("Step \"{}\"{pass}: {verdict}", step.name)));
    out.blocks.push(Block::Answer(answer(scenario, findings, units)));
    let warnings = findings.warnings.iter();
    out.blocks.extend(warnings.map(|warning| Block::Warning(sentence(warning, units))));
    out.table(verdicts::table(findings, units));
    let moves = step.action != Action::Stand;
    if moves {
        out.table(pump::duties(findings, units));
        out.table(pump::held(findings, units));
    }
    if let Some(filling) = &findings.filling {
        purge::filling(out, filling, units);
    }
    priming::table(out, findings, units);
    course::paragraphs(out, findings, units);
    if moves {
        sections::table(out, findings, units);
        out.table(losses::table(scenario, findings, units));
    }
}

/// The step in a few sentences.
pub(crate) fn answer(scenario: &Scenario, findings: &StepFindings, units: UnitSystem) -> String {
    if let Some(purge) = &findings.purge {
        return purge::answer(scenario, purge, units);
    }
    let mut sentences: Vec<String> = Vec::new();
    if let Some(boom) = &findings.boom {
        let running = boom.running_tips;
        sentences.push(format!(
            "{running} {} {} at {} on average; pressure varies by {:.1} % (lowest at tip {}, \
             highest at tip {}), flow varies by {:.2} % (coefficient of variation).",
            if running == 1 { "tip sprays" } else { "tips spray" },
            show(boom.flow_m3_s, Q::Flow, units),
            show(boom.mean_pressure_pa, Q::Pressure, units),
            100.0 * boom.pressure_variation_share,
            boom.lowest_tip,
            boom.highest_tip,
            100.0 * boom.flow_variation_share
        ));
    } else if !scenario.machine.plumbing.tips.is_empty() {
        let pressures = findings.tips.iter().map(|tip| tip.pressure_pa);
        let highest = pressures.fold(f64::NEG_INFINITY, f64::max);
        let highest = show(highest, Q::Pressure, units);
        sentences.push(format!("No tip sprays; the highest pressure on the boom is {highest}."));
    }
    if let Some(application) = &findings.application {
        let rate = show(application.rate_m, Q::ApplicationRate, units);
        let target = application
            .target_rate_m
            .map(|target| format!(" (target {})", show(target, Q::ApplicationRate, units)))
            .unwrap_or_default();
        sentences.push(format!(
            "At {} over {} that is {rate}{target}.",
            show(application.speed_m_s, Q::Speed, units),
            show(application.width_m, Q::Length, units)
        ));
    }
    if let Some((priming, outcome)) = findings.priming.as_ref().zip(findings.outcome.as_ref()) {
        sentences.extend(priming::answer(
            priming,
            outcome,
            &scenario.course.product.currency,
            units,
        ));
    }
    sentences.join(" ")
}

fn volumes(out: &mut Page, scenario: &Scenario, units: UnitSystem) {
    use sim_core::plumbing::Side;
    let name = |side| match side {
        Side::Suction => "suction",
        Side::Feed => "feed side",
        Side::Boom => "tubes",
        Side::Return => "return side",
        Side::Tank => "agitation and bypass",
        Side::Other => "other lines",
    };
    let volumes = scenario.machine.plumbing.volume_by_side();
    let all: f64 = volumes.iter().map(|(_, m3)| m3).sum();
    let parts: Vec<String> = volumes
        .iter()
        .map(|(side, m3)| format!("{} {}", name(*side), show(*m3, Q::Volume, units)))
        .collect();
    let text = format!("Lines hold {}: {}.", show(all, Q::Volume, units), parts.join(", "));
    out.blocks.push(Block::Whole);
    out.paragraph(text);
}
