//! What a run prints: the answer first, then the figures behind it.

mod bodies;
mod course;
pub(crate) mod diagnosis;
pub(crate) mod figures;
pub(crate) mod lists;
mod losses;
mod page;
mod piece;
mod priming;
mod pump;
pub(crate) mod purge;
mod sections;
pub(crate) mod sheets;
mod shown;
pub(crate) mod tips;
pub(crate) mod verdicts;

pub(crate) use page::{Block, Page};
pub(crate) use piece::Piece;
pub(crate) use shown::{pieces, shown};

use crate::columns::broken;
use crate::results::{Finished, FinishedStep};
use crate::words::{CAUTION, LIMITS_OF_THE_MODEL, judged, sentence, side_words};
use sim_core::procedure::Action;
use sim_core::units::{Quantity as Q, show};

/// Everything a run has to say, in lines of `width` columns.
pub(crate) fn report(finished: &Finished, width: usize) -> String {
    let scenario = finished.scenario();
    let title = page::underlined(&scenario.title, "=");
    let about = scenario.about.as_deref().map(|about| broken(about, "", width));
    title + &about.unwrap_or_default() + &page(finished).to_text(width)
}

/// What a run has to say, below its title.
pub(crate) fn page(finished: &Finished) -> Page {
    let mut out = Page::default();
    for of in finished.steps() {
        match &of.findings.purge {
            Some(purge) => {
                opening(&mut out, &purge::title(purge), &of);
                purge::report(&mut out, &of, purge);
            }
            // The last of its steps tells of a whole purge.
            None if of.step.action == Action::Purge => {}
            None => of_step(&mut out, &of),
        }
    }
    volumes(&mut out, finished);
    out.paragraph(LIMITS_OF_THE_MODEL);
    out.paragraph(CAUTION);
    out
}

/// How the report of a step, or of a purge, begins: its name, the answer, and how that is judged.
fn opening(out: &mut Page, name: &str, of: &FinishedStep<'_>) {
    let (findings, units) = (of.findings, of.units);
    out.blocks.push(Block::Step(format!("{name}: {}", judged(findings))));
    out.blocks.push(Block::Answer(answer(of)));
    let warnings = findings.warnings.iter();
    out.blocks.extend(warnings.map(|warning| Block::Warning(sentence(warning, units))));
    out.piece(Piece::Limits, verdicts::table(findings, units));
}

fn of_step(out: &mut Page, of: &FinishedStep<'_>) {
    let (findings, units) = (of.findings, of.units);
    let pass = of.step.pass.filter(|(_, of)| *of > 1);
    let pass = pass.map(|(pass, of)| format!(", pass {pass} of {of}")).unwrap_or_default();
    opening(out, &format!("Step \"{}\"{pass}", of.step.name), of);
    let moves = of.step.action != Action::Stand;
    if moves {
        out.piece(Piece::Pump, pump::duties(findings, units));
        out.piece(Piece::Pump, pump::held(findings, units));
    }
    if let Some(filling) = &findings.filling {
        purge::filling(out, filling, units);
    }
    priming::table(out, of);
    course::paragraphs(out, findings, units);
    if moves {
        sections::table(out, findings, units);
        out.piece(Piece::Losses, losses::table(of.plumbing(), findings, units));
    }
}

/// The step in a few sentences.
pub(crate) fn answer(of: &FinishedStep<'_>) -> String {
    let (findings, units) = (of.findings, of.units);
    if let Some(purge) = &findings.purge {
        return purge::answer(of, purge);
    }
    let mut sentences: Vec<String> = Vec::new();
    if let Some(boom) = &findings.boom {
        let running = boom.running_tips;
        sentences.push(format!(
            "{running} {} {} at {} on average; pressure varies by {:.1} % (lowest at tip {}, \
             highest at tip {}), flow varies by {:.2} % (coefficient of variation).",
            if running == 1 { "tip sprays" } else { "tips spray" },
            of.show(boom.flow_m3_s, Q::Flow),
            of.show(boom.mean_pressure_pa, Q::Pressure),
            100.0 * boom.pressure_variation_share,
            boom.lowest_tip,
            boom.highest_tip,
            100.0 * boom.flow_variation_share
        ));
    } else if !of.plumbing().tips.is_empty() {
        let pressures = findings.tips.iter().map(|tip| tip.pressure_pa);
        let highest = pressures.fold(f64::NEG_INFINITY, f64::max);
        let highest = of.show(highest, Q::Pressure);
        sentences.push(format!("No tip sprays; the highest pressure on the boom is {highest}."));
    }
    if let Some(application) = &findings.application {
        let rate = of.show(application.rate_m, Q::ApplicationRate);
        let target = application
            .target_rate_m
            .map(|target| format!(" (target {})", of.show(target, Q::ApplicationRate)))
            .unwrap_or_default();
        sentences.push(format!(
            "At {} over {} that is {rate}{target}.",
            of.show(application.speed_m_s, Q::Speed),
            of.show(application.width_m, Q::Length)
        ));
    }
    if let Some((priming, outcome)) = findings.priming.as_ref().zip(findings.outcome.as_ref()) {
        let currency = &of.scenario.course.product.currency;
        sentences.extend(priming::answer(priming, outcome, currency, units));
    }
    sentences.join(" ")
}

fn volumes(out: &mut Page, finished: &Finished) {
    let volume = |m3: f64| show(m3, Q::Volume, finished.units);
    let volumes = finished.plumbing().volume_by_side();
    let all: f64 = volumes.iter().map(|(_, m3)| m3).sum();
    let parts = volumes.iter().map(|(side, m3)| format!("{} {}", side_words(*side), volume(*m3)));
    let parts: Vec<String> = parts.collect();
    out.blocks.push(Block::Whole);
    out.paragraph(format!("Lines hold {}: {}.", volume(all), parts.join(", ")));
}
