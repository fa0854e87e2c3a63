//! Curves over the time of a run, their legend, and the steps behind them.

use super::axes::{Axis, Frame};
use super::picture::Mark;
use super::shortened::shortened;
use super::step_spans::{Lasting, step_lines, step_names, step_strips};
use super::theme::RGBColor;
use std::cmp::Reverse;

/// Letters of a curve's name that the legend shows.
const MOST_LETTERS: usize = 28;

/// Width of a curve, px.
pub(super) const WIDTH: u32 = 3;

/// A curve over time, or over a setting.
pub(super) struct Curve {
    name: String,
    points: Vec<(f64, f64)>,
    colour: RGBColor,
    dashed: bool,
    width: u32,
}

impl Curve {
    pub(super) fn full(name: &str, points: Vec<(f64, f64)>, colour: RGBColor) -> Self {
        Self { name: shortened(name, MOST_LETTERS), points, colour, dashed: false, width: WIDTH }
    }

    pub(super) fn dashed(name: &str, points: Vec<(f64, f64)>, colour: RGBColor) -> Self {
        Self { dashed: true, ..Self::full(name, points, colour) }
    }

    /// The same of a `width` of its own, px.
    pub(super) fn of_width(self, width: u32) -> Self {
        Self { width, ..self }
    }

    /// Whether it moves by more than `least`.
    pub(super) fn moves_by(&self, least: f64) -> bool {
        let shown = self.points.iter().map(|point| point.1).find(|value| !value.is_nan());
        let first = shown.unwrap_or(0.0);
        self.points.iter().any(|point| (point.1 - first).abs() > least)
    }

    fn mark(&self) -> Mark {
        if self.dashed { Mark::Dashes(self.colour) } else { Mark::Line(12, self.colour, 4) }
    }
}

/// Steps as strips with their names above, and the axes.
pub(super) fn ground(frame: &mut Frame<'_>, steps: &[Lasting], named: bool) {
    step_strips(frame, steps);
    frame.axes();
    step_lines(frame, steps);
    if named {
        step_names(frame, steps);
    }
}

/// The curves, narrow ones above wide ones, of equal ones the first on top, and their legend.
pub(super) fn curves(frame: &mut Frame<'_>, curves: &[Curve]) {
    let mut upward: Vec<&Curve> = curves.iter().rev().collect();
    upward.sort_by_key(|curve| Reverse(curve.width));
    for curve in upward {
        // A curve breaks off where there is nothing to show.
        let pieces = curve.points.split(|point| point.1.is_nan());
        for piece in pieces.filter(|piece| piece.len() > 1) {
            if curve.dashed {
                frame.dashes(piece, curve.colour);
            } else {
                frame.line(piece, curve.colour, curve.width);
            }
        }
    }
    let entries: Vec<(&str, Mark)> =
        curves.iter().map(|curve| (curve.name.as_str(), curve.mark())).collect();
    frame.legend(&entries);
}

/// An axis that holds every curve and nothing, at least `least` wide.
pub(super) fn from_nothing(title: String, curves: &[Curve], least: f64) -> Axis {
    let values = || curves.iter().flat_map(|curve| curve.points.iter().map(|point| point.1));
    let (low, high) = (values().fold(0.0, f64::min), values().fold(0.0, f64::max));
    let span = (high - low).max(least);
    let from = if low < -0.01 * span { low - 0.06 * span } else { 0.0 };
    Axis { title, from: from.min(low), to: low.max(0.0) + (high - low.max(0.0)).max(span) * 1.08 }
}
