//! How far each figure may be off and what it hangs on, at a glance: a band a row, on a scale of its own, the limit in it, and
//! the inputs that move it most as bars.

use super::picture::{Mark, Picture};
use super::shortened::shortened;
use super::theme::{BLUE, FAINT, GRID, HPos, INK, SKY, VERMILION, filled, level};
use crate::results::UncertainRun;
use crate::words::chance_words;
use sim_core::study::MeasureBand;
use sim_core::units::{show, show_number};

/// Rows that have a place.
const MOST_ROWS: usize = 7;
/// Inputs that have a bar.
const MOST_CAUSES: usize = 3;
/// From left to right, px: where bands begin and end, where chances are, where names of inputs end and bars begin and end.
const BANDS: (i32, i32) = (480, 960);
const CHANCE: i32 = 1060;
const CAUSE: i32 = 1330;
const BARS: (i32, i32) = (1340, 1570);
/// Height of the first row and of each, px.
const TOP: i32 = 170;
const ROW: i32 = 98;
/// Share of a scale that is left at its end.
const ROOM: f64 = 0.12;

/// The picture of `of`.
pub(super) fn uncertainty(of: &UncertainRun<'_>) -> Picture {
    let plan = of.found.plan;
    let below = format!(
        "bars: 5 to 95 of 100 machines, {} draws of {} inputs; dot: as stated; red: the limit; every scale starts at 0",
        plan.draws, plan.inputs
    );
    let mut picture =
        Picture::new(40, format!("{}: how sure is that?", of.run.scenario().title), below);
    for (at, words, side) in [
        ((BANDS.0 + BANDS.1) / 2, "where it lies", HPos::Center),
        (CHANCE, "limit met", HPos::Center),
        (CAUSE, "what moves it most", HPos::Right),
    ] {
        picture.words((at, TOP - 48), words, level(24, side));
    }
    for (row, band) in rows(of).into_iter().enumerate() {
        let y = TOP + ROW * row as i32 + ROW / 3;
        of_band(&mut picture, of, band, y);
        picture.line([(40, y + 60), (1570, y + 60)], GRID, 1);
    }
    picture
}

/// The bands that have a row: those whose limit is most in doubt first, then in the order of the catalogue.
fn rows<'a>(of: &'a UncertainRun<'_>) -> Vec<&'a MeasureBand> {
    let chance = |band: &MeasureBand| {
        of.least_likely(band.measure).map_or(1.0, |limit| limit.chance.share())
    };
    let mut rows: Vec<&MeasureBand> = of.telling().collect();
    rows.sort_by(|a, b| chance(a).total_cmp(&chance(b)));
    rows.truncate(MOST_ROWS);
    rows
}

/// The scale of a row: from nothing, or below it, to past the band and its `bound`.
fn scale(band: &MeasureBand, bound: Option<f64>) -> (f64, f64) {
    let values =
        [band.low, band.high, band.stated.unwrap_or(band.high), bound.unwrap_or(band.high)];
    let (from, to) = values
        .iter()
        .fold((0.0, 0.0), |(low, high): (f64, f64), value| (low.min(*value), high.max(*value)));
    (from, to + ROOM * (to - from))
}

/// A row: name, band, chance, inputs.
fn of_band(picture: &mut Picture, of: &UncertainRun<'_>, band: &MeasureBand, y: i32) {
    let units = of.run.units;
    let quantity = band.measure.quantity();
    let value = |si: f64| show(si, quantity, units);
    picture.words((40, y), shortened(band.measure.words(), 34), level(26, HPos::Left));
    let limit = of.least_likely(band.measure);
    let bound = limit.and_then(|limit| limit.limit.at_most.or(limit.limit.at_least));
    let (from, to) = scale(band, bound);
    let px = |si: f64| {
        BANDS.0 + ((si - from) / (to - from) * f64::from(BANDS.1 - BANDS.0)).round() as i32
    };
    picture.line([(BANDS.0, y), (BANDS.1, y)], GRID, 2);
    picture.rectangle([(px(band.low), y - 11), (px(band.high), y + 11)], filled(SKY));
    picture.line([(px(band.middle), y - 11), (px(band.middle), y + 11)], BLUE, 3);
    if let Some(stated) = band.stated.filter(|si| (from..=to).contains(si)) {
        picture.mark((px(stated), y), Mark::Dot(8, filled(INK)));
    }
    let ends = format!("{} to {}", show_number(band.low, quantity, units), value(band.high));
    let middle = ((px(band.low) + px(band.high)) / 2).clamp(BANDS.0 + 70, BANDS.1 - 70);
    picture.words((middle, y + 32), ends, level(22, HPos::Center));
    if let Some((limit, bound)) = limit.zip(bound) {
        picture.line([(px(bound), y - 24), (px(bound), y + 18)], VERMILION, 4);
        picture.words((px(bound), y - 38), value(bound), level(20, HPos::Center));
        let (share, within) = chance_words(limit.chance);
        picture.words((CHANCE, y - 6), share, level(28, HPos::Center));
        picture.words((CHANCE, y + 24), within, level(20, HPos::Center));
    }
    let causes = of.causes(band);
    let most = causes.first().map_or(1.0, |input| band.effects[*input].moves_by);
    for (i, input) in causes.into_iter().take(MOST_CAUSES).enumerate() {
        let (effect, at) = (band.effects[input], y - 24 + 28 * i as i32);
        let words = shortened(&of.found.inputs[input].words, 34);
        picture.words((CAUSE, at), words, level(20, HPos::Right));
        let end = BARS.0 + (effect.moves_by / most * f64::from(BARS.1 - BARS.0)) as i32;
        picture.rectangle([(BARS.0, at - 8), (end.max(BARS.0 + 2), at + 8)], filled(FAINT));
    }
}
