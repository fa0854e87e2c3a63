//! Where is the liquid of the lines, and where did it go?

use super::axes::{Axis, Drawn, Frame, Margins, Pixel};
use super::render::picture;
use super::step_spans::{Lasting, step_lines, step_names, step_strips};
use super::theme::{FAINT, INK, anchored, stroke, text};
use super::timeline::Run;
use super::volume_bands::{Moment, Piece, Volumes, pieces, volumes};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{PathElement, Rectangle, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color as _, RGBColor, WHITE};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show};

/// Margins around the frame; the names of the bands are at the right.
const MARGINS: Margins = (150, 130, 420, 100);
/// Height that a name takes, and the side of its mark, px.
const NAME_HEIGHT: i32 = 40;
const MARK: i32 = 22;
/// Share of what was held at first from which what the tank gave is spoken of.
const LEAST_TAKEN: f64 = 0.01;
/// What tells the tubes of sections apart.
const FINE: RGBColor = RGBColor(160, 214, 242);

/// A band of the stack.
struct Band {
    name: &'static str,
    colour: RGBColor,
    /// Height of its top over each moment of each piece, in the unit of volume.
    tops: Vec<Vec<(f64, f64)>>,
}

/// A name, its colour, and the volume that the bands of that name hold at the end.
type Holding = (&'static str, RGBColor, String);

/// What the picture shows.
pub(super) struct LiquidLeft {
    title: String,
    below: String,
    x: Axis,
    y: Axis,
    steps: Vec<Lasting>,
    /// From the bottom up.
    bands: Vec<Band>,
    /// From the top down.
    holdings: Vec<Holding>,
    account: Vec<Vec<(f64, f64)>>,
    account_name: &'static str,
}

picture!(LiquidLeft);

impl LiquidLeft {
    /// The stack over `run`, the part of a run that air takes part in.
    pub(super) fn of(run: &Run<'_>) -> Option<Self> {
        let pieces = pieces(run);
        let unit = display_unit(Q::Volume, run.units);
        let times: Vec<Vec<f64>> = pieces
            .iter()
            .map(|piece| piece.moments.iter().map(|m| run.time(m.sample.time_s)).collect())
            .collect();
        let with_times = |m3: &[Vec<f64>]| -> Vec<Vec<(f64, f64)>> {
            let piece = |(times, m3): (&Vec<f64>, &Vec<f64>)| {
                times.iter().zip(m3).map(|(time, m3)| (*time, unit.from_si(*m3))).collect()
            };
            times.iter().zip(m3).map(piece).collect()
        };
        let mut sum: Vec<Vec<f64>> = times.iter().map(|times| vec![0.0; times.len()]).collect();
        let volumes = volumes(run, &pieces);
        let mut bands = Vec::new();
        for volumes in &volumes {
            for (sum, m3) in sum.iter_mut().flatten().zip(volumes.m3.iter().flatten()) {
                *sum += m3;
            }
            let (name, colour) = (volumes.name, volumes.colour);
            bands.push(Band { tops: with_times(&sum), name, colour });
        }
        let account = |m: &Moment<'_>| m.at_start_m3 + (-m.returned_m3).max(0.0);
        let account: Vec<Vec<f64>> =
            pieces.iter().map(|piece| piece.moments.iter().map(account).collect()).collect();
        let takes = pieces
            .iter()
            .flat_map(|p| &p.moments)
            .any(|m| -m.returned_m3 > LEAST_TAKEN * m.at_start_m3);
        let account_name =
            if takes { "held at first and taken from the tank" } else { "held at first" };
        let most = sum.iter().flatten().copied().fold(0.0, f64::max);
        Some(Self {
            title: format!("{}: where the liquid is", run.scenario.title),
            below: below((account_name, &account), &sum, &pieces, run)?,
            x: run.axis(),
            y: Axis {
                title: format!("liquid, {}", unit.symbol),
                from: 0.0,
                to: unit.from_si(most).max(1e-3) * 1.06,
            },
            steps: run.steps(),
            bands,
            holdings: holdings(&volumes, run.units),
            account: with_times(&account),
            account_name,
        })
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let frame = Frame::within(area, &self.x, &self.y, MARGINS);
        frame.title(&self.title, &self.below)?;
        step_strips(&frame, &self.steps)?;
        frame.axes()?;
        for band in self.bands.iter().rev() {
            band.tops.iter().try_for_each(|top| frame.area_under(top, band.colour))?;
        }
        for (band, next) in self.bands.iter().zip(self.bands.iter().skip(1)) {
            let (colour, width) = if next.name == band.name { (FINE, 1) } else { (WHITE, 2) };
            band.tops.iter().try_for_each(|top| frame.line(top, colour, width))?;
        }
        self.account.iter().try_for_each(|points| frame.dashes(points, INK))?;
        step_lines(&frame, &self.steps)?;
        step_names(&frame, &self.steps)?;
        self.names(area, &frame)
    }

    /// The bands' names and what they hold at the end, in the order of the stack.
    fn names<DB: DrawingBackend>(
        &self,
        area: &DrawingArea<DB, Shift>,
        frame: &Frame<'_, DB>,
    ) -> Drawn<DB> {
        let ((_, top), (right, _)) = frame.corners();
        let left = right + 24;
        let end = area.dim_in_pixel().0 as i32 - 30;
        let words = |at: Pixel, words: &str, side: HPos, size: u32| {
            area.draw(&Text::new(words.to_owned(), at, anchored(text(size), side, VPos::Center)))
        };
        words((end, top + 4), "at the end", HPos::Right, 20)?;
        let mut y = top + NAME_HEIGHT;
        for (name, colour, holds) in &self.holdings {
            let corners = [(left, y - MARK / 2), (left + MARK, y + MARK / 2)];
            area.draw(&Rectangle::new(corners, colour.filled()))?;
            area.draw(&Rectangle::new(corners, stroke(FAINT, 1)))?;
            words((left + MARK + 12, y), name, HPos::Left, 22)?;
            words((end, y), holds, HPos::Right, 22)?;
            y += NAME_HEIGHT;
        }
        for x in [left - 2, left + 12] {
            area.draw(&PathElement::new(vec![(x, y), (x + 10, y)], stroke(INK, 3)))?;
        }
        words((left + MARK + 12, y), self.account_name, HPos::Left, 20)
    }
}

/// What the bands of each name hold at the end, from the top down.
fn holdings(volumes: &[Volumes], units: UnitSystem) -> Vec<Holding> {
    let last = |volumes: &Volumes| volumes.m3.last().and_then(|m3| m3.last()).copied();
    let named = volumes.chunk_by(|a, b| a.name == b.name).rev();
    let holding = |same: &[Volumes]| {
        let m3: f64 = same.iter().filter_map(last).sum();
        (same[0].name, same[0].colour, show(m3, Q::Volume, units))
    };
    named.map(holding).collect()
}

/// What became of the liquid, in a sentence.
fn below(
    (name, account): (&str, &[Vec<f64>]),
    stack: &[Vec<f64>],
    pieces: &[Piece<'_>],
    run: &Run<'_>,
) -> Option<String> {
    let held = *account.last()?.last()?;
    let end = pieces.last()?.moments.last()?;
    let left = stack.last()?.last()? - end.returned_m3.max(0.0) - end.lost_m3;
    let volume = |m3: f64| show(m3, Q::Volume, run.units);
    // Findings of a purge leave it out.
    let counts_suction = run.scenario.machine.plumbing.suction_lines().contains(&true);
    let went = if end.returned_m3 >= 0.0 {
        format!("{} back in the tank, ", volume(end.returned_m3))
    } else {
        String::new()
    };
    Some(format!(
        "of {} {name}, at the end: {went}{} passed the tips, {} in the lines{}",
        volume(held),
        volume(end.lost_m3),
        volume(left),
        if counts_suction { ", the suction side counted" } else { "" }
    ))
}
