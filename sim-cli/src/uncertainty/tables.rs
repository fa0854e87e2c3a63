//! All that draws say of a run: every band, every limit, every input.

use super::screen::chances;
use crate::columns::Columns;
use crate::results::UncertainRun;
use crate::tables::Page;
use crate::words::{CAUTION, NOT_DRAWN};
use sim_core::study::{DrawnInput, LimitChance, MeasureBand};
use sim_core::units::show;

/// Inputs that are listed below a figure.
const MOST_CAUSES: usize = 5;

/// Everything, in lines of `width` columns.
pub(crate) fn full(of: &UncertainRun<'_>, width: usize) -> String {
    let units = of.run.units;
    let mut page = Page::default();
    page.paragraph(of.run.scenario().title.clone());
    let value = |band: &MeasureBand, si: f64| show(si, band.measure.quantity(), units);
    let bands = Columns::new()
        .words("measure of the whole run", |band: &MeasureBand| band.measure.words())
        .text("as stated", |band| band.stated.map(|si| value(band, si)))
        .text("5 % below", |band| value(band, band.low))
        .text("half below", |band| value(band, band.middle))
        .text("95 % below", |band| value(band, band.high))
        .text("reached in", |band| format!("{} of {}", band.reached.met, band.reached.of));
    page.table(bands.table("Bands", &of.found.bands, units));
    let limits: Vec<&LimitChance> = of.found.limits.iter().collect();
    page.table(chances(of).table("Limits", limits, units));
    for band in of.telling() {
        page.table(effects(of, band));
    }
    let inputs = Columns::new()
        .words("input", |input: &DrawnInput| input.words.clone())
        .text("spread", |input| input.spread.clone())
        .words("source", |input| input.source.clone());
    page.table(inputs.table(
        "Inputs that are drawn; about 95 of 100 machines are within each",
        &of.found.inputs,
        units,
    ));
    page.paragraph(NOT_DRAWN);
    page.paragraph(CAUTION);
    page.to_text(width)
}

/// What each input does to `band`.
fn effects(of: &UncertainRun<'_>, band: &MeasureBand) -> crate::columns::Table {
    let units = of.run.units;
    let title = format!("What moves it: {}", band.measure.words());
    let inputs: Vec<usize> = of.causes(band).into_iter().take(MOST_CAUSES).collect();
    Columns::new()
        .words("input", |input: &usize| of.found.inputs[*input].words.clone())
        .text("moves it by", |input| {
            show(band.effects[*input].moves_by, band.measure.quantity(), units)
        })
        .text("share of variance", |input| {
            band.effects[*input]
                .total
                .map(|total| format!("{:.0} %", 100.0 * total.clamp(0.0, 1.0)))
        })
        .table(title, inputs, units)
}
