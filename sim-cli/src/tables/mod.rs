//! What a run prints: the answer first, then the figures behind it.

mod course;
pub(crate) mod diagnosis;
pub(crate) mod grid;
mod losses;
mod page;
mod priming;
mod pump;
pub(crate) mod purge;
mod sections;
pub(crate) mod tips;
pub(crate) mod verdicts;

pub(crate) use page::{Block, Page};

use crate::commands::Finished;
use sim_core::findings::StepFindings;
use sim_core::procedure::{Action, Step};
use sim_core::scenario::Scenario;
use sim_core::simulation::StepRecord;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Columns a line may take.
pub(crate) const WIDTH: usize = 100;

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
    let steps = scenario.steps.iter().zip(&finished.record.steps).zip(&finished.findings);
    for ((step, record), findings) in steps.filter(|((step, _), _)| !step.is_middle_pass()) {
        if step.action == Action::Purge {
            purge::report(&mut out, scenario, findings, units);
            continue;
        }
        of_step(&mut out, scenario, (step, record), findings, units);
    }
    volumes(&mut out, scenario, units);
    out.tell(LIMITS_OF_THE_MODEL);
    out.tell(CAUTION);
    out
}

/// What no run knows.
pub(crate) const LIMITS_OF_THE_MODEL: &str = "Model: a Newtonian liquid without foam in lines as \
    long and as rough as stated; new-tip tables; loss coefficients good to 30 to 40 % unless measured. A \
    gauge and a catch test have the last word.";
/// What every reader of a run is told.
pub(crate) const CAUTION: &str = "Caution: these figures are no permission to spray. The product label and local \
    rules decide; relieve pressure before opening a line and wear the protection the label asks for.";

/// What is said wherever purges are set beside each other; the report of one says more.
pub(crate) const AIR_CAUTION: &str = "Compressed air and pesticide hurt people: eye protection, a relief valve, parts \
    rated for air; the product label, local rules and a licensed person decide.";

fn of_step(
    out: &mut Page,
    scenario: &Scenario,
    (step, record): (&Step, &StepRecord),
    findings: &StepFindings,
    units: UnitSystem,
) {
    let verdict = judged(findings);
    let pass = step.pass.filter(|(_, of)| *of > 1);
    let pass = pass.map(|(pass, of)| format!(", pass {pass} of {of}")).unwrap_or_default();
    out.blocks.push(Block::Step(format!("Step \"{}\"{pass}: {verdict}", step.name)));
    out.blocks.push(Block::Answer(answer(scenario, findings, units)));
    let warnings = findings.warnings.iter();
    out.blocks.extend(warnings.map(|warning| Block::Warning(warning.text.clone())));
    verdicts::table(out, findings, units);
    let moves = step.action != Action::Stand;
    if moves {
        pump::tables(out, scenario, findings, units);
    }
    if let Some(filling) = &findings.filling {
        purge::filling(out, scenario, filling, units);
    }
    priming::table(out, scenario, findings, units);
    course::paragraphs(out, scenario, record, findings, units);
    if moves {
        sections::table(out, scenario, findings, units);
        losses::table(out, scenario, findings, units);
    }
}

/// Whether there is something to tell of `step` by itself: of passes in the middle of a repeat and of parts of a
/// purge but its last there is not.
pub(crate) fn tells(step: &Step, findings: &StepFindings) -> bool {
    !step.is_middle_pass() && (step.action != Action::Purge || findings.purge.is_some())
}

/// How many limits are met.
fn judged(findings: &StepFindings) -> String {
    let unmet = findings.verdicts.iter().filter(|verdict| !verdict.met).count();
    match (findings.verdicts.len(), unmet) {
        (0, _) => "no limit applies".to_owned(),
        (all, 0) => format!("all {all} limits met"),
        (all, unmet) => format!("{unmet} of {all} limits NOT met"),
    }
}

/// The step in a few sentences.
pub(crate) fn answer(scenario: &Scenario, findings: &StepFindings, units: UnitSystem) -> String {
    if let Some(purge) = &findings.purge {
        return purge::answer(scenario, purge, units);
    }
    let mut sentences: Vec<String> = Vec::new();
    if let Some(boom) = &findings.boom {
        let tip = |id: sim_core::plumbing::TipId| &scenario.plumbing.tips[id.index()].name;
        let running = findings.tips.iter().filter(|tip| tip.from_mean.is_some()).count();
        sentences.push(format!(
            "{running} {} {} at {} on average; pressure spreads {:.1} % (lowest at tip {}, \
             highest at tip {}), flow varies by {:.2} % (coefficient of variation).",
            if running == 1 { "tip sprays" } else { "tips spray" },
            show(boom.flow_m3_s, Q::Flow, units),
            show(boom.mean_pressure_pa, Q::Pressure, units),
            100.0 * boom.spread,
            tip(boom.lowest),
            tip(boom.highest),
            100.0 * boom.flow_variation
        ));
    } else if !scenario.plumbing.tips.is_empty() {
        let pressures = findings.tips.iter().map(|tip| tip.pressure_pa);
        let highest = pressures.fold(f64::NEG_INFINITY, f64::max);
        let highest = show(highest, Q::Pressure, units);
        sentences.push(format!("No tip sprays; the boom stands at {highest} at most."));
    }
    if let Some(application) = &findings.application {
        let rate = show(application.rate_m, Q::ApplicationRate, units);
        let wanted = application
            .wanted_m
            .map(|wanted| format!(" ({} wanted)", show(wanted, Q::ApplicationRate, units)))
            .unwrap_or_default();
        sentences.push(format!(
            "At {} over {} that is {rate}{wanted}.",
            show(application.speed_m_s, Q::Speed, units),
            show(application.width_m, Q::Length, units)
        ));
    }
    if let Some(priming) = &findings.priming {
        sentences.extend(priming::answer(priming, &scenario.product.currency, units));
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
    let volumes = scenario.plumbing.volume_by_side();
    let all: f64 = volumes.iter().map(|(_, m3)| m3).sum();
    let parts: Vec<String> = volumes
        .iter()
        .map(|(side, m3)| format!("{} {}", name(*side), show(*m3, Q::Volume, units)))
        .collect();
    let text = format!("Lines hold {}: {}.", show(all, Q::Volume, units), parts.join(", "));
    out.blocks.push(Block::Whole);
    out.tell(text);
}

/// `value` as people read it; a dash where there is none.
pub(crate) fn or_dash(value: Option<f64>, quantity: Q, units: UnitSystem) -> String {
    value.map_or_else(|| "-".into(), |value| show(value, quantity, units))
}

/// When something came about, as people read it.
fn or_not_yet(time_s: Option<f64>, units: UnitSystem) -> String {
    time_s.map_or_else(|| "not yet".into(), |time_s| show(time_s, Q::Duration, units))
}

/// `text` broken into lines of [`WIDTH`], each after the first behind `indent`.
pub(crate) fn wrapped(text: &str, indent: &str) -> String {
    broken(text, indent, WIDTH)
}

/// `text` broken into lines of `width` columns, each after the first behind `indent`.
pub(crate) fn broken(text: &str, indent: &str, width: usize) -> String {
    let (mut out, mut line) = (String::new(), String::new());
    for word in text.split_whitespace() {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
            out.push_str(line.trim_end());
            out.push('\n');
            line = indent.to_owned();
        } else if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        out.push_str(&line);
        out.push('\n');
    }
    out
}
