//! A frame with axes in the user's units, and what is drawn into it.

use super::theme::{FAINT, GRID, INK, anchored, bold, decimals, stroke, text, tick_step};
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind as Trouble};
use plotters::element::{PathElement, Rectangle, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color as _, FontTransform, RGBColor, WHITE};

/// A pixel.
pub(super) type Pixel = (i32, i32);

/// What a drawing call returns.
pub(super) type Drawn<DB> = Result<(), Trouble<<DB as DrawingBackend>::ErrorType>>;

/// An entry of a legend: its words, and what draws its mark at a point.
pub(super) type Entry<'e, DB> = (&'e str, &'e dyn Fn(Pixel) -> Drawn<DB>);

/// Margins around the frame, px: left, top, right, bottom.
const MARGINS: (i32, i32, i32, i32) = (150, 130, 50, 140);

/// A range of values and what they are.
#[derive(Clone, Debug)]
pub(super) struct Axis {
    pub(super) title: String,
    pub(super) from: f64,
    pub(super) to: f64,
}

/// A frame on `area`.
pub(super) struct Frame<'a, DB: DrawingBackend> {
    area: &'a DrawingArea<DB, Shift>,
    x: &'a Axis,
    y: &'a Axis,
}

impl<'a, DB: DrawingBackend> Frame<'a, DB> {
    pub(super) fn new(area: &'a DrawingArea<DB, Shift>, x: &'a Axis, y: &'a Axis) -> Self {
        Self { area, x, y }
    }

    /// Pixel of a point.
    pub(super) fn at(&self, x: f64, y: f64) -> (i32, i32) {
        let ((left, top), (right, bottom)) = self.corners();
        let along = |value: f64, axis: &Axis| (value - axis.from) / (axis.to - axis.from);
        let px = f64::from(left) + along(x, self.x) * f64::from(right - left);
        let py = f64::from(bottom) - along(y, self.y) * f64::from(bottom - top);
        (px.round() as i32, py.round() as i32)
    }

    /// Corners of the frame, px.
    pub(super) fn corners(&self) -> ((i32, i32), (i32, i32)) {
        let (width, height) = self.area.dim_in_pixel();
        let (left, top, right, bottom) = MARGINS;
        ((left, top), (width as i32 - right, height as i32 - bottom))
    }

    /// White ground, title and a line of explanation.
    pub(super) fn title(&self, title: &str, below: &str) -> Drawn<DB> {
        self.area.fill(&WHITE)?;
        self.area.draw(&Text::new(title.to_owned(), (MARGINS.0, 26), bold(34)))?;
        self.area.draw(&Text::new(below.to_owned(), (MARGINS.0, 72), text(24)))
    }

    /// Grid, ticks and titles of both axes.
    pub(super) fn axes(&self) -> Drawn<DB> {
        let ((left, top), (right, bottom)) = self.corners();
        for (value, label) in ticks(self.x, 9.0) {
            let (px, _) = self.at(value, self.y.from);
            self.area.draw(&PathElement::new(vec![(px, top), (px, bottom)], stroke(GRID, 1)))?;
            let style = anchored(text(24), HPos::Center, VPos::Top);
            self.area.draw(&Text::new(label, (px, bottom + 12), style))?;
        }
        for (value, label) in ticks(self.y, 6.0) {
            let (_, py) = self.at(self.x.from, value);
            self.area.draw(&PathElement::new(vec![(left, py), (right, py)], stroke(GRID, 1)))?;
            let style = anchored(text(24), HPos::Right, VPos::Center);
            self.area.draw(&Text::new(label, (left - 14, py), style))?;
        }
        self.area.draw(&Rectangle::new([(left, top), (right, bottom)], stroke(FAINT, 2)))?;
        let middle = ((left + right) / 2, bottom + 52);
        let style = anchored(text(26), HPos::Center, VPos::Top);
        self.area.draw(&Text::new(self.x.title.clone(), middle, style))?;
        let style =
            anchored(text(26), HPos::Center, VPos::Bottom).transform(FontTransform::Rotate270);
        self.area.draw(&Text::new(self.y.title.clone(), (48, (top + bottom) / 2), style))
    }

    /// What the marks mean, under the frame: each entry draws its mark at the point it is given.
    pub(super) fn legend(&self, entries: &[Entry<'_, DB>]) -> Drawn<DB> {
        let (width, height) = self.area.dim_in_pixel();
        let y = height as i32 - 30;
        let room = |words: &str| 11 * words.chars().count() as i32 + 70;
        let mut x =
            width as i32 - MARGINS.2 - entries.iter().map(|(words, _)| room(words)).sum::<i32>();
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
        let inside = |(_, y): &&(f64, f64)| *y >= self.y.from && *y <= self.y.to;
        let path: Vec<(i32, i32)> =
            points.iter().filter(inside).map(|&(x, y)| self.at(x, y)).collect();
        if path.len() < 2 {
            return Ok(());
        }
        self.area.draw(&PathElement::new(path, stroke(colour, width)))
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
        self.area.draw(&Text::new(label.to_owned(), (right - 10, py - 5), style))
    }

    /// A shaded strip from `from` to `to` on the x axis.
    pub(super) fn strip(&self, from: f64, to: f64, colour: RGBColor) -> Drawn<DB> {
        let (a, b) = (self.at(from, self.y.from), self.at(to, self.y.to));
        self.area.draw(&Rectangle::new([a, b], colour.filled()))
    }

    /// A name at the top of the frame above `x`.
    pub(super) fn name_above(&self, x: f64, name: &str) -> Drawn<DB> {
        let (px, py) = self.at(x, self.y.to);
        let style = anchored(text(22), HPos::Center, VPos::Bottom).color(&INK);
        self.area.draw(&Text::new(name.to_owned(), (px, py - 8), style))
    }
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
