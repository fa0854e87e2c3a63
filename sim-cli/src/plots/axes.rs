//! A frame with axes in the user's units, and what is drawn into it.

pub(super) use crate::drawing::strokes::Pixel;

use super::simplify::simplified;
use super::theme::{FAINT, GRID, INK, anchored, bold, decimals, stroke, text, tick_step};
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind as Trouble};
use plotters::element::{DashedPathElement, PathElement, Polygon, Rectangle, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color as _, FontTransform, RGBColor, WHITE};

/// What a drawing call returns.
pub(super) type Drawn<DB> = Result<(), Trouble<<DB as DrawingBackend>::ErrorType>>;

/// An entry of a legend: its words, and what draws its mark at a point.
pub(super) type Entry<'e, DB> = (&'e str, &'e dyn Fn(Pixel) -> Drawn<DB>);

/// Margins around a frame, px: left, top, right, bottom.
pub(super) type Margins = (i32, i32, i32, i32);

/// Margins of a frame that has its picture to itself.
const MARGINS: Margins = (150, 130, 50, 140);

/// Height that a tick of the y axis takes, px.
const TICK_HEIGHT: f64 = 105.0;
/// Ticks of the y axis of a low frame, about.
const LEAST_TICKS: f64 = 4.0;

/// A range of values and what they are.
#[derive(Clone, Debug)]
pub(super) struct Axis {
    pub(super) title: String,
    pub(super) from: f64,
    pub(super) to: f64,
}

impl Axis {
    /// From `low` to `high` with a little room, at least `least_range` wide as a share of their mean: less would
    /// magnify nothing.
    pub(super) fn around(title: String, low: f64, high: f64, least_range: f64) -> Self {
        let mean = 0.5 * (low + high);
        let half = (0.56 * (high - low)).max(0.5 * least_range * mean.abs()).max(1e-6);
        Self { title, from: mean - half, to: mean + half }
    }
}

/// A frame on `area`.
pub(super) struct Frame<'a, DB: DrawingBackend> {
    area: &'a DrawingArea<DB, Shift>,
    x: &'a Axis,
    y: &'a Axis,
    margins: Margins,
    decades: bool,
}

impl<'a, DB: DrawingBackend> Frame<'a, DB> {
    pub(super) fn new(area: &'a DrawingArea<DB, Shift>, x: &'a Axis, y: &'a Axis) -> Self {
        Self::within(area, x, y, MARGINS)
    }

    /// A frame that leaves `margins` of its area free.
    pub(super) fn within(
        area: &'a DrawingArea<DB, Shift>,
        x: &'a Axis,
        y: &'a Axis,
        margins: Margins,
    ) -> Self {
        Self { area, x, y, margins, decades: false }
    }

    /// The same frame whose x axis holds logarithms to the base of ten: its ticks are at powers of ten.
    pub(super) fn by_decades(self) -> Self {
        Self { decades: true, ..self }
    }

    /// Pixel of a point.
    pub(super) fn at(&self, x: f64, y: f64) -> Pixel {
        rounded(self.place(x, y))
    }

    fn place(&self, x: f64, y: f64) -> (f64, f64) {
        let ((left, top), (right, bottom)) = self.corners();
        let along = |value: f64, axis: &Axis| (value - axis.from) / (axis.to - axis.from);
        let px = f64::from(left) + along(x, self.x) * f64::from(right - left);
        let py = f64::from(bottom) - along(y, self.y) * f64::from(bottom - top);
        (px, py)
    }

    /// Pixels of the points within the frame's height that show the curve through them.
    fn path(&self, points: &[(f64, f64)]) -> Vec<Pixel> {
        let inside = |(_, y): &&(f64, f64)| *y >= self.y.from && *y <= self.y.to;
        let places: Vec<_> = points.iter().filter(inside).map(|&(x, y)| self.place(x, y)).collect();
        simplified(&places).into_iter().map(rounded).collect()
    }

    /// Corners of the frame, px.
    pub(super) fn corners(&self) -> ((i32, i32), (i32, i32)) {
        let (width, height) = self.area.dim_in_pixel();
        let (left, top, right, bottom) = self.margins;
        ((left, top), (width as i32 - right, height as i32 - bottom))
    }

    /// White ground, title and a line of explanation.
    pub(super) fn title(&self, title: &str, below: &str) -> Drawn<DB> {
        self.area.fill(&WHITE)?;
        self.area.draw(&Text::new(title.to_owned(), (self.margins.0, 26), bold(34)))?;
        self.area.draw(&Text::new(below.to_owned(), (self.margins.0, 72), text(24)))
    }

    /// Grid, ticks and titles of both axes.
    pub(super) fn axes(&self) -> Drawn<DB> {
        let ((left, top), (right, bottom)) = self.corners();
        let along = if self.decades { powers_of_ten(self.x) } else { ticks(self.x, 9.0) };
        for (value, label) in along {
            let (px, _) = self.at(value, self.y.from);
            self.area.draw(&PathElement::new(vec![(px, top), (px, bottom)], stroke(GRID, 1)))?;
            let style = anchored(text(24), HPos::Center, VPos::Top);
            self.area.draw(&Text::new(label, (px, bottom + 12), style))?;
        }
        for (value, label) in
            ticks(self.y, (f64::from(bottom - top) / TICK_HEIGHT).max(LEAST_TICKS))
        {
            let (_, py) = self.at(self.x.from, value);
            self.area.draw(&PathElement::new(vec![(left, py), (right, py)], stroke(GRID, 1)))?;
            let style = anchored(text(24), HPos::Right, VPos::Center);
            self.area.draw(&Text::new(label, (left - 14, py), style))?;
        }
        self.area.draw(&Rectangle::new([(left, top), (right, bottom)], stroke(FAINT, 2)))?;
        let middle = ((left + right) / 2, bottom + 52);
        let style = anchored(text(26), HPos::Center, VPos::Top);
        if !self.x.title.is_empty() {
            self.area.draw(&Text::new(self.x.title.clone(), middle, style))?;
        }
        let style =
            anchored(text(26), HPos::Center, VPos::Bottom).transform(FontTransform::Rotate270);
        self.area.draw(&Text::new(self.y.title.clone(), (48, (top + bottom) / 2), style))
    }

    /// What the marks mean, under the frame: each entry draws its mark at the point it is given.
    pub(super) fn legend(&self, entries: &[Entry<'_, DB>]) -> Drawn<DB> {
        let (width, height) = self.area.dim_in_pixel();
        let y = height as i32 - 30;
        let room = |words: &str| 11 * words.chars().count() as i32 + 70;
        let mut x = width as i32
            - self.margins.2
            - entries.iter().map(|(words, _)| room(words)).sum::<i32>();
        for (words, mark) in entries {
            mark((x + 14, y))?;
            let style = anchored(text(22), HPos::Left, VPos::Center);
            self.area.draw(&Text::new((*words).to_owned(), (x + 34, y), style))?;
            x += room(words);
        }
        Ok(())
    }

    /// A line through points, cut where they leave the frame.
    pub(super) fn line(&self, points: &[(f64, f64)], colour: RGBColor, width: u32) -> Drawn<DB> {
        let path = self.path(points);
        let mut start = 0;
        for corner in 1..path.len() {
            let end = corner + 1 == path.len();
            if end || turns_back(path[corner - 1], path[corner], path[corner + 1]) {
                let piece = path[start..=corner].to_vec();
                self.area.draw(&PathElement::new(piece, stroke(colour, width)))?;
                start = corner;
            }
        }
        Ok(())
    }

    /// The area between the bottom of the frame and a line through points.
    pub(super) fn area_under(&self, points: &[(f64, f64)], colour: RGBColor) -> Drawn<DB> {
        let (Some(first), Some(last)) = (points.first(), points.last()) else { return Ok(()) };
        let inside = points.iter().map(|&(x, y)| (x, y.clamp(self.y.from, self.y.to)));
        let mut corners = self.path(&inside.collect::<Vec<_>>());
        corners.extend([self.at(last.0, self.y.from), self.at(first.0, self.y.from)]);
        self.area.draw(&Polygon::new(corners, colour.filled()))
    }

    /// A dashed line through points.
    pub(super) fn dashes(&self, points: &[(f64, f64)], colour: RGBColor) -> Drawn<DB> {
        let (path, style) = (self.path(points), stroke(colour, 3));
        self.area.draw(&DashedPathElement::new(path, 12, 8, style))
    }

    /// A line of `width` px over the whole height at `x`.
    pub(super) fn upright(&self, x: f64, width: u32) -> Drawn<DB> {
        let path = vec![self.at(x, self.y.from), self.at(x, self.y.to)];
        self.area.draw(&PathElement::new(path, stroke(FAINT, width)))
    }

    /// A dashed level line with a label at its right end.
    pub(super) fn level(&self, y: f64, colour: RGBColor, label: &str) -> Drawn<DB> {
        if y < self.y.from || y > self.y.to {
            return Ok(());
        }
        let ((left, _), (right, _)) = self.corners();
        let (_, py) = self.at(self.x.from, y);
        for start in (left..right).step_by(18) {
            let path = vec![(start, py), ((start + 10).min(right), py)];
            self.area.draw(&PathElement::new(path, stroke(colour, 2)))?;
        }
        let style = anchored(text(22), HPos::Right, VPos::Bottom).color(&colour);
        // Whatever is drawn there already must not cross the words.
        let (width, height) = self.area.estimate_text_size(label, &style)?;
        let corner = (right - 14 - width as i32, py - 6 - height as i32);
        let behind = Rectangle::new([corner, (right - 6, py - 3)], WHITE.mix(0.92).filled());
        self.area.draw(&behind)?;
        self.area.draw(&Text::new(label.to_owned(), (right - 10, py - 5), style))
    }

    /// A shaded strip from `from` to `to` on the x axis.
    pub(super) fn strip(&self, from: f64, to: f64, colour: RGBColor) -> Drawn<DB> {
        let (a, b) = (self.at(from, self.y.from), self.at(to, self.y.to));
        self.area.draw(&Rectangle::new([a, b], colour.filled()))
    }

    /// A name at the top of the frame above `x`.
    pub(super) fn name_above(&self, x: f64, name: &str) -> Drawn<DB> {
        self.words_above(self.at(x, self.y.to).0, name, 22)
    }

    /// Words of `size` px at the top of the frame above pixel `px`.
    pub(super) fn words_above(&self, px: i32, words: &str, size: u32) -> Drawn<DB> {
        let ((_, top), _) = self.corners();
        let style = anchored(text(size), HPos::Center, VPos::Bottom).color(&INK);
        self.area.draw(&Text::new(words.to_owned(), (px, top - 8), style))
    }
}

fn rounded((x, y): (f64, f64)) -> Pixel {
    (x.round() as i32, y.round() as i32)
}

/// Whether a line from `a` over `b` to `c` turns so sharply that its joint would run out into a spike.
fn turns_back(a: Pixel, b: Pixel, c: Pixel) -> bool {
    let (x, y) = (f64::from(b.0 - a.0), f64::from(b.1 - a.1));
    let (u, v) = (f64::from(c.0 - b.0), f64::from(c.1 - b.1));
    x * u + y * v < 0.3 * x.hypot(y) * u.hypot(v)
}

/// Ticks at the powers of ten within `axis`, which holds logarithms.
fn powers_of_ten(axis: &Axis) -> Vec<(f64, String)> {
    let powers = axis.from.ceil() as i32..=axis.to.floor() as i32;
    let label = |power: i32| match power {
        ..0 => format!("{:.*}", power.unsigned_abs() as usize, 10f64.powi(power)),
        0..4 => 10i32.pow(power.unsigned_abs()).to_string(),
        4..7 => format!("{} 000", 10i32.pow(power.unsigned_abs() - 3)),
        _ => format!("1e{power}"),
    };
    powers.map(|power| (f64::from(power), label(power))).collect()
}

/// Ticks of `axis`, about `count` of them.
fn ticks(axis: &Axis, count: f64) -> Vec<(f64, String)> {
    let step = tick_step(axis.to - axis.from, count);
    let digits = decimals(step);
    let first = (axis.from / step - 1e-9).ceil() as i64;
    let last = (axis.to / step + 1e-9).floor() as i64;
    let label = |k: i64| {
        let value = k as f64 * step;
        (value, format!("{value:.digits$}").replace('-', "\u{2212}"))
    };
    (first..=last).map(label).collect()
}
