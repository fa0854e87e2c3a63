//! When does new liquid, or air, reach which place of the boom?

use super::along_boom::{AlongBoom, lies_along, tip_groups};
use super::axes::{Frame, Margins};
use super::concentration_bar::{LEVELS, concentration_bar};
use super::line_contents::{AtTip, at_tips};
use super::map_colour::map_colour;
use super::picture::{Mark, Picture, Pixel, SIZE};
use super::shortened::shortened;
use super::step_spans::{LETTER, Lasting, MOST_LETTERS, apart, are_many};
use super::theme::{
    FAINT, HPos, INK, LIQUID, RGBColor, WALL_FILM, WHITE, filled, level as words_of, stroke,
};
use super::timeline::Run;
use sim_core::simulation::Sample;
use sim_core::units::{Quantity as Q, display_unit};

/// Margins around the frame; names of steps are at the right, in what their longest takes beyond.
const MARGINS: Margins = (150, 130, 50, 140);
/// Height of a row of cells, px.
const ROW_HEIGHT: i32 = 2;
/// Most columns of cells: beyond, neighbouring tips share one.
const MOST_COLUMNS: usize = 160;
/// Most cells of one colour: beyond, colours are told apart more coarsely.
const MOST_CELLS: usize = 15_000;
/// Height that the name of a step takes, px.
const NAME_HEIGHT: i32 = 30;
/// Height of the legend, and half of what it shows a colour with, px.
const FOOT: i32 = SIZE.1 - 34;
const SWATCH: i32 = 11;

/// What a place of the boom holds, with its concentration where that is told apart.
#[derive(Clone, Copy, Debug, PartialEq)]
enum MapCell {
    Concentration(f64),
    Only(AtTip),
}

/// A strip of the boom and its cells, a row after the other from the earliest on.
struct BoomStrip {
    from: f64,
    to: f64,
    cells: Vec<MapCell>,
}

/// The map of concentrations, where tips are at places along a boom and any concentration changes.
pub(super) fn front_map(run: &Run<'_>) -> Option<Picture> {
    if !run.concentrations_change() || !lies_along(&run.scenario.machine.plumbing) {
        return None;
    }
    let columns = columns(run, &rows(run), true);
    let is_air = |cell: &MapCell| matches!(cell, MapCell::Only(_));
    let air = columns.iter().flat_map(|column| &column.cells).any(is_air);
    let below = "concentration of the liquid at each tip, time of the run upward";
    let mut picture = map(run, &columns, ("concentration", below));
    concentration_bar(&mut picture, (MARGINS.0 + 150, FOOT));
    if air {
        swatch(&mut picture, (MARGINS.0 + 700, FOOT), WHITE, "air");
    }
    Some(picture)
}

/// The map of liquid, film and air, where air moves liquid of one concentration.
pub(super) fn air_map(run: &Run<'_>) -> Option<Picture> {
    if run.concentrations_change() || !lies_along(&run.scenario.machine.plumbing) {
        return None;
    }
    let columns = columns(run, &rows(run), false);
    let below = "what is at each tip, time of the run upward";
    let mut picture = map(run, &columns, ("liquid and air", below));
    let all = [(AtTip::Liquid, "liquid"), (AtTip::Film, "film on the wall"), (AtTip::Air, "air")];
    for ((content, words), left) in all.into_iter().zip((MARGINS.0..).step_by(280)) {
        swatch(&mut picture, (left + SWATCH, FOOT), content_colour(content), words);
    }
    Some(picture)
}

fn content_colour(content: AtTip) -> RGBColor {
    match content {
        AtTip::Liquid => LIQUID,
        AtTip::Film => WALL_FILM,
        AtTip::Air => WHITE,
    }
}

/// What a colour means.
fn swatch(picture: &mut Picture, (x, y): Pixel, colour: RGBColor, words: &str) {
    for style in [filled(colour), stroke(FAINT, 1)] {
        picture.mark((x, y), Mark::Square(SWATCH, style));
    }
    picture.words((x + SWATCH + 12, y), words, words_of(26, HPos::Left));
}

/// `columns` as they are along the boom and over time; `what` they show, and a line of explanation.
fn map(run: &Run<'_>, columns: &[BoomStrip], (what, below): (&str, &str)) -> Picture {
    let plumbing = &run.scenario.machine.plumbing;
    let steps = run.steps();
    let letters = steps.iter().map(|step| step.name.chars().count()).max().unwrap_or(0);
    let names = LETTER * letters.min(MOST_LETTERS) as i32;
    let margins = (MARGINS.0, MARGINS.1, MARGINS.2 + names, MARGINS.3);
    let title = format!("{}: {what} along the boom over time", run.scenario.title);
    let mut picture = Picture::new(MARGINS.0, title, below);
    let boom = AlongBoom::of(plumbing, &tip_groups(plumbing), run.units);
    let (left, earliest) = (boom.x.from, run.axis().from);
    let mut frame = Frame::within(&mut picture, boom.x.clone(), run.axis(), margins);
    boom.axes(&mut frame);
    draw_cells(&mut frame, columns, earliest);
    draw_steps(&mut frame, &steps, left);
    picture
}

fn draw_cells(frame: &mut Frame<'_>, columns: &[BoomStrip], earliest: f64) {
    let ((_, top), (_, bottom)) = frame.corners();
    let levels = levels(columns);
    let end = columns.last().map_or(0, |column| frame.at(column.to, earliest).0);
    for column in columns {
        let left = frame.at(column.from, earliest).0;
        let mut row = 0;
        for run in column.cells.chunk_by(|a, b| colour(*a, levels) == colour(*b, levels)) {
            let from = bottom - ROW_HEIGHT * row;
            row += run.len() as i32;
            let style = filled(colour(run[0], levels));
            // Each cell reaches on under those that follow: no ground shows between them.
            frame.picture.rectangle([(left, top), (end, from)], style);
        }
    }
}

/// As many levels of colour as keep the number of cells within bounds.
fn levels(columns: &[BoomStrip]) -> i32 {
    let cells = |levels: i32| {
        let of = |column: &BoomStrip| {
            column.cells.chunk_by(|a, b| colour(*a, levels) == colour(*b, levels)).count()
        };
        columns.iter().map(of).sum::<usize>()
    };
    let mut levels = LEVELS;
    while levels > 8 && cells(levels) > MOST_CELLS {
        levels /= 2;
    }
    levels
}

/// Colour of `cell`, concentrations told apart by so many levels.
fn colour(cell: MapCell, levels: i32) -> RGBColor {
    match cell {
        MapCell::Only(content) => content_colour(content),
        MapCell::Concentration(share) => {
            let most = f64::from(levels - 1);
            map_colour((share.clamp(0.0, 1.0) * most).round() / most)
        }
    }
}

/// Where steps meet, and their names at the right; `x` is any place on the boom. Where steps are many they meet beside the
/// map only.
fn draw_steps(frame: &mut Frame<'_>, steps: &[Lasting], x: f64) {
    let ((left, _), (right, _)) = frame.corners();
    let from = if are_many(steps) { right } else { left };
    for step in steps.iter().skip(1) {
        let y = frame.at(x, step.from).1;
        frame.picture.line([(from, y), (right + 12, y)], INK, if from == left { 2 } else { 1 });
    }
    let room = |step: &Lasting| {
        let middle = frame.at(x, 0.5 * (step.from + step.to)).1;
        (middle - NAME_HEIGHT / 2, middle + NAME_HEIGHT / 2)
    };
    for (step, (from, to)) in apart(steps, room) {
        let at = (right + 18, (from + to) / 2);
        frame.picture.words(at, shortened(&step.name, MOST_LETTERS), words_of(26, HPos::Left));
    }
}

/// The sample nearest to the middle of each row of cells, with its number.
fn rows<'a>(run: &Run<'a>) -> Vec<(usize, &'a Sample)> {
    let samples: Vec<&Sample> = run.samples().map(|(_, sample)| sample).collect();
    let height = SIZE.1 - MARGINS.1 - MARGINS.3;
    let count = height / ROW_HEIGHT;
    let (from, to) = (samples[0].time_s, samples[samples.len() - 1].time_s);
    let nearest = |row: i32| {
        let time_s = from + (to - from) * (f64::from(row) + 0.5) / f64::from(count);
        let after = samples.partition_point(|sample| sample.time_s < time_s).max(1);
        let after = after.min(samples.len() - 1);
        let before = after.saturating_sub(1);
        let is_after = samples[after].time_s - time_s < time_s - samples[before].time_s;
        let place = if is_after { after } else { before };
        (place, samples[place])
    };
    (0..count).map(nearest).collect()
}

/// A column for each tip, or for each few neighbours, bounded half way to the next; `by_concentration` says whether
/// concentrations are told apart.
fn columns(run: &Run<'_>, rows: &[(usize, &Sample)], by_concentration: bool) -> Vec<BoomStrip> {
    let length = display_unit(Q::Length, run.units);
    let tips = &run.scenario.machine.plumbing.tips;
    let held = at_tips(run);
    let x = |tip: usize| length.from_si(tips[tip].x_m);
    let mut order: Vec<usize> = (0..tips.len()).collect();
    order.sort_by(|a, b| x(*a).total_cmp(&x(*b)));
    let (first, last) = (order[0], order[order.len() - 1]);
    let usual = if order.len() > 1 { 0.5 * (x(order[1]) - x(first)) } else { 0.25 };
    let mut from = x(first) - usual;
    let mut columns = Vec::new();
    let each = order.len().div_ceil(MOST_COLUMNS);
    for (k, group) in order.chunks(each).enumerate() {
        let end = group[group.len() - 1];
        let to =
            order.get((k + 1) * each).map_or(x(last) + usual, |next| 0.5 * (x(end) + x(*next)));
        let cell =
            |(k, sample): &(usize, &Sample)| cell(group, &held[*k], sample, by_concentration);
        columns.push(BoomStrip { from, to, cells: rows.iter().map(cell).collect() });
        from = to;
    }
    columns
}

/// What the tips of `group` show of `sample`, at which `held` is at each tip: what is at most of them.
fn cell(group: &[usize], held: &[AtTip], sample: &Sample, by_concentration: bool) -> MapCell {
    let at = |tip: &usize| held.get(*tip).copied().unwrap_or(AtTip::Liquid);
    let count = |content| group.iter().filter(|tip| at(tip) == content).count();
    let (liquid, film, air) = (count(AtTip::Liquid), count(AtTip::Film), count(AtTip::Air));
    if 2 * liquid < group.len() {
        // Beside concentrations a film is not told apart.
        let film = film > air && !by_concentration;
        return MapCell::Only(if film { AtTip::Film } else { AtTip::Air });
    }
    if !by_concentration {
        return MapCell::Only(AtTip::Liquid);
    }
    let wet = group.iter().filter(|tip| at(tip) == AtTip::Liquid);
    let sum: f64 = wet.map(|tip| f64::from(sample.tips[*tip])).sum();
    MapCell::Concentration(sum / liquid as f64)
}
