//! Bands, chances and what they hang on, on one screen.

use crate::columns::{Columns, broken};
use crate::results::UncertainRun;
use crate::words::{AIR_CAUTION, CAUTION, NOT_DRAWN, PURGE_IS_UNCERTAIN, chance_words, demanded};
use sim_core::study::{Chance, LimitChance, MeasureBand};
use sim_core::units::{show, show_number};

/// Figures that have a row.
const MOST_FIGURES: usize = 14;
/// Limits that have a row.
const MOST_LIMITS: usize = 6;
/// Inputs that are named beside a figure.
const MOST_CAUSES: usize = 2;

/// What `of` comes to, in lines of `width` columns.
pub(crate) fn screen(of: &UncertainRun<'_>, width: usize) -> String {
    let plan = of.found.plan;
    let mut out = broken(&of.run.scenario().title, "", width);
    let opening = format!(
        "{} draws of {} inputs that are known only about so (seed {}): of 100 machines built to this scenario some 90 are within each \
         band.",
        plan.draws, plan.inputs, plan.seed
    );
    out.push_str(&broken(&opening, "", width));
    if of.found.untrusted > 0 {
        let all = plan.draws as usize + plan.moved as usize * plan.inputs;
        let text = format!(
            "{} of {all} runs gave no result to trust and do not count.",
            of.found.untrusted
        );
        out.push_str(&broken(&text, "", width));
    }
    let bands: Vec<&MeasureBand> = of.telling().take(MOST_FIGURES).collect();
    out.push_str(&format!("\n{}", figures(of).table("", &bands, of.run.units).bare(width)));
    out.push_str(&limits(of, width));
    out.push('\n');
    for text in cautions(of) {
        out.push_str(&broken(&format!("- {text}"), "  ", width));
    }
    out.push_str(&broken("The rest, with every input and its source: --full", "  ", width));
    out
}

fn cautions(of: &UncertainRun<'_>) -> Vec<&'static str> {
    let purges = of.run.findings.iter().any(|step| step.purge.is_some());
    let air = purges.then_some([PURGE_IS_UNCERTAIN, AIR_CAUTION]);
    std::iter::once(NOT_DRAWN).chain(air.into_iter().flatten()).chain([CAUTION]).collect()
}

/// Columns of bands.
fn figures<'a>(of: &'a UncertainRun<'_>) -> Columns<'a, &'a MeasureBand> {
    let units = of.run.units;
    let value = move |band: &MeasureBand, si: f64| show(si, band.measure.quantity(), units);
    Columns::new()
        .words("", |band: &&MeasureBand| band.measure.words())
        .text("as stated", move |band: &&MeasureBand| band.stated.map(|si| value(band, si)))
        .or("not reached")
        .text("5 to 95 of 100", move |band: &&MeasureBand| {
            let reached = band.reached;
            let often =
                (reached.met < reached.of).then(|| format!(" in {:.0} %", 100.0 * reached.share()));
            let low = show_number(band.low, band.measure.quantity(), units);
            let long = band.measure.quantity() == sim_core::units::Quantity::Duration
                && band.high >= 300.0;
            let low = if long { value(band, band.low) } else { low };
            format!("{low} to {}{}", value(band, band.high), often.unwrap_or_default())
        })
        .words("hangs most on", |band: &&MeasureBand| causes(of, band))
}

/// The inputs that do most to `band`, with their share of its variance where that is known.
fn causes(of: &UncertainRun<'_>, band: &MeasureBand) -> String {
    let named = of.causes(band).into_iter().take(MOST_CAUSES).map(|input| {
        let words = &of.found.inputs[input].words;
        let total = band.effects[input].total;
        let share = total.map(|total| format!(" ({:.0} %)", 100.0 * total.clamp(0.0, 1.0)));
        format!("{words}{}", share.unwrap_or_default())
    });
    named.collect::<Vec<_>>().join(", ")
}

/// The limits that are in doubt, and how many are not.
fn limits(of: &UncertainRun<'_>, width: usize) -> String {
    let doubt = of.in_doubt();
    let sure = of.found.limits.len() - doubt.len();
    let mut out = String::new();
    if !doubt.is_empty() {
        let shown = doubt.iter().take(MOST_LIMITS).copied();
        out.push_str(&format!("\n{}", chances(of).table("", shown, of.run.units).bare(width)));
    }
    if doubt.len() > MOST_LIMITS {
        out.push_str(&format!("and {} more: --full\n", doubt.len() - MOST_LIMITS));
    }
    let draws =
        of.found.plan.draws as usize - of.found.outcomes.iter().filter(|o| o.is_none()).count();
    if sure > 0 {
        let (_, within) = chance_words(Chance { met: draws, of: draws });
        let others = if doubt.is_empty() { "" } else { " other" };
        let (word, is) = if sure == 1 { ("limit", "is") } else { ("limits", "are") };
        out.push_str(&broken(
            &format!(
                "{sure}{others} {word} {is} met in every draw: a chance of {within}, 95 % sure."
            ),
            "",
            width,
        ));
    }
    out
}

/// Columns of limits.
pub(super) fn chances<'a>(of: &'a UncertainRun<'_>) -> Columns<'a, &'a LimitChance> {
    let units = of.run.units;
    Columns::new()
        .words("limit", move |limit: &&LimitChance| {
            format!("{}, {}", demanded(&limit.limit, units), of.step(limit.step))
        })
        .text("chance to meet it", |limit: &&LimitChance| chance_words(limit.chance).0)
        .text("95 % sure", |limit: &&LimitChance| chance_words(limit.chance).1)
}
