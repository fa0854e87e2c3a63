//! A frame with axes in the user's units, and what is drawn into it.

use super::picture::{Mark, Picture, Pixel, SIZE, Shape};
use super::shortened::shortened;
use super::simplify::simplified;
use super::theme::{FAINT, GRID, HPos, RGBColor, VPos, anchored, filled, level, stroke, text};
use super::ticks::{powers_of_ten, ticks};
use plotters::style::{Color as _, FontTransform};
use sim_core::units::DisplayUnit;

/// Margins around a frame, px: left, top, right, bottom.
pub(super) type Margins = (i32, i32, i32, i32);

/// Margins of a frame that has its picture to itself.
const MARGINS: Margins = (150, 130, 50, 140);

/// Height that a tick of the y axis takes, px.
const TICK_HEIGHT: f64 = 105.0;
/// Room of a letter of a legend, px.
const LETTER: i32 = 13;
/// Ticks of the y axis of a low frame, about.
const LEAST_TICKS: f64 = 4.0;

/// What an axis shows and from where to where.
#[derive(Clone, Debug)]
pub struct Axis {
    /// Words and unit.
    pub title: String,
    /// Value at its start.
    pub from: f64,
    /// Value at its end, above its start.
    pub to: f64,
}

impl Axis {
    /// Over the finite ones of `values` with a little room, at least `least` wide and `least_range` as a share of their mean:
    /// less would magnify nothing.
    pub(super) fn around(
        title: String,
        values: impl Iterator<Item = f64>,
        (least_range, least): (f64, f64),
    ) -> Self {
        let (low, high) = extent(values).unwrap_or((0.0, 1.0));
        let mean = 0.5 * (low + high);
        let half = (0.56 * (high - low)).max(0.5 * least_range * mean.abs()).max(0.5 * least);
        Self { title, from: mean - half, to: mean + half }
    }
}

/// Least that an axis in `unit` spans: ten of the last digits that values are shown with.
pub(super) fn least_span(unit: &DisplayUnit) -> f64 {
    10f64.powi(1 - unit.decimals() as i32)
}

/// The lowest and the highest of the finite ones of `values`.
pub(super) fn extent(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let ends = values.filter(|value| value.is_finite()).map(|value| (value, value));
    ends.reduce(|(low, high), (value, _)| (low.min(value), high.max(value)))
}

/// A frame in a picture.
pub(super) struct Frame<'p> {
    pub(super) picture: &'p mut Picture,
    x: Axis,
    y: Axis,
    /// Upper left and lower right.
    corners: (Pixel, Pixel),
    /// Height at which the legend stands.
    foot: i32,
    decades: bool,
    /// Names along the x axis instead of numbers.
    names: Vec<(f64, String)>,
}

impl<'p> Frame<'p> {
    pub(super) fn new(picture: &'p mut Picture, x: Axis, y: Axis) -> Self {
        Self::within(picture, x, y, MARGINS)
    }

    /// A frame that leaves `margins` of its picture free.
    pub(super) fn within(picture: &'p mut Picture, x: Axis, y: Axis, margins: Margins) -> Self {
        Self::between(picture, (0, SIZE.1), x, y, margins)
    }

    /// A frame that leaves `margins` of the strip of its picture from one height to another free.
    pub(super) fn between(
        picture: &'p mut Picture,
        (from, to): (i32, i32),
        x: Axis,
        y: Axis,
        (left, top, right, bottom): Margins,
    ) -> Self {
        let corners = ((left, from + top), (SIZE.0 - right, to - bottom));
        Self { picture, x, y, corners, foot: to - 30, decades: false, names: Vec::new() }
    }

    /// The same frame whose x axis holds logarithms to the base of ten: its ticks are at powers of ten.
    pub(super) fn by_decades(self) -> Self {
        Self { decades: true, ..self }
    }

    /// The same frame with `names` along its x axis, as much of each as has room.
    pub(super) fn named(self, names: Vec<(f64, String)>) -> Self {
        Self { names, ..self }
    }

    /// What is written along the x axis, and where.
    fn along(&self) -> Vec<(f64, String)> {
        let ((left, _), (right, _)) = self.corners;
        let room = (right - left) / (LETTER * self.names.len().max(1) as i32);
        match self.names.as_slice() {
            [] if self.decades => powers_of_ten((self.x.from, self.x.to)),
            [] => ticks((self.x.from, self.x.to), 9.0),
            names => {
                names.iter().map(|(x, name)| (*x, shortened(name, room.max(0) as usize))).collect()
            }
        }
    }

    /// Pixel of a point.
    pub(super) fn at(&self, x: f64, y: f64) -> Pixel {
        rounded(self.place(x, y))
    }

    fn place(&self, x: f64, y: f64) -> (f64, f64) {
        let ((left, top), (right, bottom)) = self.corners;
        let along = |value: f64, axis: &Axis| (value - axis.from) / (axis.to - axis.from);
        let px = f64::from(left) + along(x, &self.x) * f64::from(right - left);
        let py = f64::from(bottom) - along(y, &self.y) * f64::from(bottom - top);
        (px, py)
    }

    /// Pixels of the points within the frame's height that show the curve through them.
    fn path(&self, points: &[(f64, f64)]) -> Vec<Pixel> {
        let inside = |(_, y): &&(f64, f64)| *y >= self.y.from && *y <= self.y.to;
        let places: Vec<_> = points.iter().filter(inside).map(|&(x, y)| self.place(x, y)).collect();
        simplified(&places).into_iter().map(rounded).collect()
    }

    /// Corners of the frame, px.
    pub(super) fn corners(&self) -> (Pixel, Pixel) {
        self.corners
    }

    /// Grid, ticks and titles of both axes.
    pub(super) fn axes(&mut self) {
        let ((left, top), (right, bottom)) = self.corners;
        for (value, label) in self.along() {
            let (px, _) = self.at(value, self.y.from);
            self.picture.line([(px, top), (px, bottom)], GRID, 1);
            let style = anchored(text(28), HPos::Center, VPos::Top);
            self.picture.words((px, bottom + 12), label, style);
        }
        let upward = (f64::from(bottom - top) / TICK_HEIGHT).max(LEAST_TICKS);
        for (value, label) in ticks((self.y.from, self.y.to), upward) {
            let (_, py) = self.at(self.x.from, value);
            self.picture.line([(left, py), (right, py)], GRID, 1);
            self.picture.words((left - 14, py), label, level(28, HPos::Right));
        }
        self.picture.rectangle([(left, top), (right, bottom)], stroke(FAINT, 2));
        let middle = ((left + right) / 2, bottom + 52);
        let style = anchored(text(30), HPos::Center, VPos::Top);
        if !self.x.title.is_empty() {
            self.picture.words(middle, self.x.title.clone(), style);
        }
        let style =
            anchored(text(30), HPos::Center, VPos::Bottom).transform(FontTransform::Rotate270);
        self.picture.words((48, (top + bottom) / 2), self.y.title.clone(), style);
    }

    /// What the marks mean, under the frame.
    pub(super) fn legend(&mut self, entries: &[(&str, Mark)]) {
        let room = |words: &str| LETTER * words.chars().count() as i32 + 70;
        let (_, (right, _)) = self.corners;
        let mut x = right - entries.iter().map(|(words, _)| room(words)).sum::<i32>();
        for &(words, mark) in entries {
            self.picture.mark((x + 14, self.foot), mark);
            self.picture.words((x + 34, self.foot), words, level(26, HPos::Left));
            x += room(words);
        }
    }

    /// `mark` at a point.
    pub(super) fn mark(&mut self, (x, y): (f64, f64), mark: Mark) {
        self.picture.mark(self.at(x, y), mark);
    }

    /// A line through points, cut where they leave the frame.
    pub(super) fn line(&mut self, points: &[(f64, f64)], colour: RGBColor, width: u32) {
        let path = self.path(points);
        let mut start = 0;
        for corner in 1..path.len() {
            let end = corner + 1 == path.len();
            if end || turns_back(path[corner - 1], path[corner], path[corner + 1]) {
                self.picture.line(&path[start..=corner], colour, width);
                start = corner;
            }
        }
    }

    /// The area between the bottom of the frame and a line through points.
    pub(super) fn area_under(&mut self, points: &[(f64, f64)], colour: RGBColor) {
        let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
        let inside = points.iter().map(|&(x, y)| (x, y.clamp(self.y.from, self.y.to)));
        let mut corners = self.path(&inside.collect::<Vec<_>>());
        corners.extend([self.at(last.0, self.y.from), self.at(first.0, self.y.from)]);
        self.picture.area(corners, colour);
    }

    /// A dashed line through points.
    pub(super) fn dashes(&mut self, points: &[(f64, f64)], colour: RGBColor) {
        let path = self.path(points);
        self.picture.dashes(path, (12, 8), stroke(colour, 3));
    }

    /// A line of `width` px over the whole height at `x`.
    pub(super) fn upright(&mut self, x: f64, width: u32) {
        let path = [self.at(x, self.y.from), self.at(x, self.y.to)];
        self.picture.line(path, FAINT, width);
    }

    /// A dashed level line with a label at its right end.
    pub(super) fn level(&mut self, y: f64, colour: RGBColor, label: &str) {
        if y < self.y.from || y > self.y.to {
            return;
        }
        let ((left, _), (right, _)) = self.corners;
        let (_, py) = self.at(self.x.from, y);
        for start in (left..right).step_by(18) {
            self.picture.line([(start, py), ((start + 10).min(right), py)], colour, 2);
        }
        let mut style = anchored(text(26), HPos::Right, VPos::Bottom);
        style.color = colour.to_backend_color();
        let (words, at) = (label.to_owned(), (right - 10, py - 5));
        self.picture.shapes.push(Shape::Label { words, at, style });
    }

    /// A shaded strip from `from` to `to` on the x axis.
    pub(super) fn strip(&mut self, from: f64, to: f64, colour: RGBColor) {
        let corners = [self.at(from, self.y.from), self.at(to, self.y.to)];
        self.picture.rectangle(corners, filled(colour));
    }

    /// A name at the top of the frame above `x`.
    pub(super) fn name_above(&mut self, x: f64, name: &str) {
        self.words_above(self.at(x, self.y.to).0, name, 26);
    }

    /// Words of `size` px at the top of the frame above pixel `px`.
    pub(super) fn words_above(&mut self, px: i32, words: &str, size: u32) {
        let ((_, top), _) = self.corners;
        let style = anchored(text(size), HPos::Center, VPos::Bottom);
        self.picture.words((px, top - 8), words, style);
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
