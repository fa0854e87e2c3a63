//! When does new liquid reach which place of the boom?

use super::along_boom::{AlongBoom, tip_groups};
use super::axes::{Frame, Margins};
use super::concentration_bar::{LEVELS, concentration_bar};
use super::line_contents::empty_tips;
use super::picture::{Picture, SIZE};
use super::shortened::shortened;
use super::step_spans::{LETTER, Lasting, MOST_LETTERS, apart, line_width};
use super::theme::{HPos, INK, WHITE, filled, level as words_of};
use super::timeline::Run;
use crate::drawing::map_colour;
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
const NAME_HEIGHT: i32 = 26;

/// A strip of the boom and its concentrations, a row of cells after the other from the earliest on; not a number
/// where it holds air.
struct BoomStrip {
    from: f64,
    to: f64,
    concentrations: Vec<f64>,
}

/// The map, where tips are at places along a boom.
pub(super) fn front_map(run: &Run<'_>) -> Option<Picture> {
    let plumbing = &run.scenario.machine.plumbing;
    let first = plumbing.tips.first()?.x_m;
    if plumbing.tips.len() > 1 && plumbing.tips.iter().all(|tip| tip.x_m == first) {
        return None;
    }
    let columns = columns(run, &rows(run), &empty_tips(run));
    let air = columns.iter().flat_map(|column| &column.concentrations).any(|s| s.is_nan());
    if run.has_air() && !air && !run.concentrations_change() {
        return None;
    }
    let steps = run.steps();
    let letters = steps.iter().map(|step| step.name.chars().count()).max().unwrap_or(0);
    let names = LETTER * letters.min(MOST_LETTERS) as i32;
    let margins = (MARGINS.0, MARGINS.1, MARGINS.2 + names, MARGINS.3);
    let title = format!("{}: concentration along the boom over time", run.scenario.title);
    let air = if air { "; white: air" } else { "" };
    let below = format!("concentration of the liquid at each tip, time of the run upward{air}");
    let mut picture = Picture::new(MARGINS.0, title, below);
    let boom = AlongBoom::of(plumbing, &tip_groups(plumbing), run.units);
    let (left, earliest) = (boom.x.from, run.axis().from);
    let mut frame = Frame::within(&mut picture, boom.x.clone(), run.axis(), margins);
    boom.axes(&mut frame);
    draw_cells(&mut frame, &columns, earliest);
    draw_steps(&mut frame, &steps, left);
    concentration_bar(&mut picture, (MARGINS.0 + 135, SIZE.1 - 34));
    Some(picture)
}

fn draw_cells(frame: &mut Frame<'_>, columns: &[BoomStrip], earliest: f64) {
    let ((_, top), (_, bottom)) = frame.corners();
    let levels = levels(columns);
    for column in columns {
        let (left, right) = (frame.at(column.from, earliest).0, frame.at(column.to, earliest).0);
        let mut row = 0;
        for run in column.concentrations.chunk_by(|a, b| level(*a, levels) == level(*b, levels)) {
            let from = bottom - ROW_HEIGHT * row;
            row += run.len() as i32;
            let to = (bottom - ROW_HEIGHT * row).max(top);
            let share = f64::from(level(run[0], levels)) / f64::from(levels - 1);
            let colour = if run[0].is_nan() { WHITE } else { map_colour(share) };
            frame.picture.rectangle([(left, to), (right.max(left + 1), from)], filled(colour));
        }
    }
}

/// As many levels of colour as keep the number of cells within bounds.
fn levels(columns: &[BoomStrip]) -> i32 {
    let cells = |levels: i32| {
        let of = |column: &BoomStrip| {
            column.concentrations.chunk_by(|a, b| level(*a, levels) == level(*b, levels)).count()
        };
        columns.iter().map(of).sum::<usize>()
    };
    let mut levels = LEVELS;
    while levels > 8 && cells(levels) > MOST_CELLS {
        levels /= 2;
    }
    levels
}

/// Where steps meet, and their names at the right; `x` is any place on the boom.
fn draw_steps(frame: &mut Frame<'_>, steps: &[Lasting], x: f64) {
    let ((left, _), (right, _)) = frame.corners();
    for step in steps.iter().skip(1) {
        let y = frame.at(x, step.from).1;
        frame.picture.line([(left, y), (right + 12, y)], INK, line_width(steps));
    }
    let room = |step: &Lasting| {
        let middle = frame.at(x, 0.5 * (step.from + step.to)).1;
        (middle - NAME_HEIGHT / 2, middle + NAME_HEIGHT / 2)
    };
    for (step, (from, to)) in apart(steps, room) {
        let at = (right + 18, (from + to) / 2);
        frame.picture.words(at, shortened(&step.name, MOST_LETTERS), words_of(22, HPos::Left));
    }
}

/// Level of colour of `concentration`; one of its own for air.
fn level(concentration: f64, levels: i32) -> i32 {
    if concentration.is_nan() {
        return -1;
    }
    (concentration.clamp(0.0, 1.0) * f64::from(levels - 1)).round() as i32
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

/// A column for each tip, or for each few neighbours, bounded half way to the next.
fn columns(run: &Run<'_>, rows: &[(usize, &Sample)], empty: &[Vec<bool>]) -> Vec<BoomStrip> {
    let length = display_unit(Q::Length, run.units);
    let tips = &run.scenario.machine.plumbing.tips;
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
        let mean = |(k, sample): &(usize, &Sample)| {
            let wet = |tip: &&usize| empty[*k].get(**tip) != Some(&true);
            let wet: Vec<f64> =
                group.iter().filter(wet).map(|tip| f64::from(sample.tips[*tip])).collect();
            // Several tips count as empty when most of them are.
            if 2 * wet.len() < group.len() {
                return f64::NAN;
            }
            wet.iter().sum::<f64>() / wet.len() as f64
        };
        columns.push(BoomStrip { from, to, concentrations: rows.iter().map(mean).collect() });
        from = to;
    }
    columns
}
