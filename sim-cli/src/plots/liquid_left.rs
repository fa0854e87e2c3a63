//! Where is the liquid of the lines, and where did it go?

use super::axes::{Axis, Frame, Margins};
use super::picture::{Mark, Picture, SIZE};
use super::step_spans::{step_lines, step_names, step_strips};
use super::theme::{FAINT, HPos, INK, RGBColor, WHITE, filled, level, stroke};
use super::timeline::Run;
use super::volume_bands::{AirMoment, Volumes, moments, volumes};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show};
use std::ops::Range;

/// Margins around the frame; the names of the bands are at the right.
const MARGINS: Margins = (150, 130, 420, 100);
/// Height that a name takes, and half the side of its mark, px.
const NAME_HEIGHT: i32 = 40;
const MARK: i32 = 11;
/// Share of what was held at first from which what the tank gave is spoken of.
const LEAST_TAKEN: f64 = 0.01;
/// What tells the tubes of sections apart.
const FINE: RGBColor = RGBColor(160, 214, 242);

/// A band of the stack.
struct Band {
    name: &'static str,
    colour: RGBColor,
    /// Its top over time, in the user's units.
    top: Vec<(f64, f64)>,
}

/// A name, its colour, and the volume that the bands of that name hold at the end.
type Holding = (&'static str, RGBColor, String);

/// The stack over `run`, the part of a run that air takes part in.
pub(super) fn liquid_left(run: &Run<'_>) -> Option<Picture> {
    let (moments, stretches) = moments(run);
    let unit = display_unit(Q::Volume, run.units);
    let over_time = |m3: &[f64]| -> Vec<(f64, f64)> {
        let of = |(m, m3): (&AirMoment<'_>, &f64)| (run.time(m.sample.time_s), unit.from_si(*m3));
        moments.iter().zip(m3).map(of).collect()
    };
    let mut sum = vec![0.0; moments.len()];
    let volumes = volumes(run, &moments);
    let mut bands = Vec::new();
    for Volumes { name, colour, m3 } in &volumes {
        sum.iter_mut().zip(m3).for_each(|(sum, m3)| *sum += m3);
        bands.push(Band { name, colour: *colour, top: over_time(&sum) });
    }
    let account = |m: &AirMoment<'_>| m.at_start_m3 + (-m.returned_m3).max(0.0);
    let account: Vec<f64> = moments.iter().map(account).collect();
    let takes = moments.iter().any(|m| -m.returned_m3 > LEAST_TAKEN * m.at_start_m3);
    let account_name =
        if takes { "held at first and taken from the tank" } else { "held at first" };
    let most = sum.iter().copied().fold(0.0, f64::max);
    let title = format!("{}: where the liquid is", run.scenario.title);
    let held = format!("{} {account_name}", show(*account.last()?, Q::Volume, run.units));
    let below = below(&held, *sum.last()?, moments.last()?, run);
    let y = Axis {
        title: format!("liquid, {}", unit.symbol),
        from: 0.0,
        to: unit.from_si(most).max(1e-3) * 1.06,
    };
    let mut picture = Picture::new(MARGINS.0, title, below);
    let mut frame = Frame::within(&mut picture, run.axis(), y, MARGINS);
    let steps = run.steps();
    step_strips(&mut frame, &steps);
    frame.axes();
    stretches.iter().for_each(|stretch| draw_bands(&mut frame, &bands, stretch));
    let account = over_time(&account);
    stretches.iter().for_each(|stretch| frame.dashes(&account[stretch.clone()], INK));
    step_lines(&mut frame, &steps);
    step_names(&mut frame, &steps);
    names(&mut frame, holdings(&volumes, run.units), account_name);
    Some(picture)
}

fn draw_bands(frame: &mut Frame<'_>, bands: &[Band], stretch: &Range<usize>) {
    for band in bands.iter().rev() {
        frame.area_under(&band.top[stretch.clone()], band.colour);
    }
    for (band, next) in bands.iter().zip(bands.iter().skip(1)) {
        let (colour, width) = if next.name == band.name { (FINE, 1) } else { (WHITE, 2) };
        frame.line(&band.top[stretch.clone()], colour, width);
    }
}

/// The bands' names and what they hold at the end, in the order of the stack.
fn names(frame: &mut Frame<'_>, holdings: Vec<Holding>, account_name: &str) {
    let ((_, top), (right, _)) = frame.corners();
    let (left, end) = (right + 24, SIZE.0 - 30);
    frame.picture.words((end, top + 4), "at the end", level(20, HPos::Right));
    let mut y = top + NAME_HEIGHT;
    for (name, colour, holds) in holdings {
        for style in [filled(colour), stroke(FAINT, 1)] {
            frame.picture.mark((left + MARK, y), Mark::Square(MARK, style));
        }
        frame.picture.words((left + 2 * MARK + 12, y), name, level(22, HPos::Left));
        frame.picture.words((end, y), holds, level(22, HPos::Right));
        y += NAME_HEIGHT;
    }
    for x in [left - 2, left + 12] {
        frame.picture.line([(x, y), (x + 10, y)], INK, 3);
    }
    frame.picture.words((left + 2 * MARK + 12, y), account_name, level(20, HPos::Left));
}

/// What the bands of each name hold at the end, from the top down.
fn holdings(volumes: &[Volumes], units: UnitSystem) -> Vec<Holding> {
    let last = |volumes: &Volumes| volumes.m3.last().copied();
    let named = volumes.chunk_by(|a, b| a.name == b.name).rev();
    let holding = |same: &[Volumes]| {
        let m3: f64 = same.iter().filter_map(last).sum();
        (same[0].name, same[0].colour, show(m3, Q::Volume, units))
    };
    named.map(holding).collect()
}

/// What became of the liquid `held`, in a sentence: the `sum` of all bands at the last moment.
fn below(held: &str, sum: f64, end: &AirMoment<'_>, run: &Run<'_>) -> String {
    let left = sum - end.returned_m3.max(0.0) - end.lost_m3;
    let volume = |m3: f64| show(m3, Q::Volume, run.units);
    // Findings of a purge leave it out.
    let counts_suction = run.scenario.machine.plumbing.suction_lines().contains(&true);
    let went = if end.returned_m3 >= 0.0 {
        format!("{} back in the tank, ", volume(end.returned_m3))
    } else {
        String::new()
    };
    format!(
        "of {held}, at the end: {went}{} passed the tips, {} in the lines{}",
        volume(end.lost_m3),
        volume(left),
        if counts_suction { ", the suction side counted" } else { "" }
    )
}
