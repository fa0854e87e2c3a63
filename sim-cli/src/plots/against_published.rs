//! How do curves of the product lie to published points?

use super::axes::{Axis, Drawn, Frame};
use super::curves::{Curve, curves};
use super::render::picture;
use super::theme::CURVES;
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::Circle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;

/// What an axis shows and from where to where.
#[derive(Clone, Debug)]
pub struct Range {
    /// Words and unit.
    pub title: String,
    /// Value at its start.
    pub from: f64,
    /// Value at its end, above its start.
    pub to: f64,
}

/// One quantity: the product's curve and the published points, in the units of the axes.
#[derive(Clone, Debug)]
pub struct Compared {
    /// What the legend calls it; long names are cut.
    pub name: String,
    /// Points of the product's curve, in order; drawn as a line if there are at least two.
    pub ours: Vec<(f64, f64)>,
    /// Published points, drawn as dots.
    pub published: Vec<(f64, f64)>,
}

/// What the picture shows: at most six quantities, each in its colour.
#[derive(Clone, Debug)]
pub struct PublishedPlot {
    /// The picture's title.
    pub title: String,
    /// A line of explanation below it.
    pub below: String,
    /// The level axis.
    pub x: Range,
    /// The upright axis.
    pub y: Range,
    /// Whether the level axis is logarithmic; it must not reach down to 0 then.
    pub by_decades: bool,
    /// The quantities.
    pub compared: Vec<Compared>,
}

picture!(PublishedPlot);

impl PublishedPlot {
    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let along = |x: f64| if self.by_decades { x.log10() } else { x };
        let moved = |points: &[(f64, f64)]| points.iter().map(|(x, y)| (along(*x), *y)).collect();
        let x =
            Axis { title: self.x.title.clone(), from: along(self.x.from), to: along(self.x.to) };
        let y = Axis { title: self.y.title.clone(), from: self.y.from, to: self.y.to };
        let frame = Frame::new(area, &x, &y);
        let frame = if self.by_decades { frame.by_decades() } else { frame };
        frame.title(&self.title, &self.below)?;
        frame.axes()?;
        let quantities = || self.compared.iter().zip(CURVES);
        let lines: Vec<Curve> = quantities()
            .map(|(quantity, colour)| Curve::full(&quantity.name, moved(&quantity.ours), colour))
            .collect();
        curves(area, &frame, &lines)?;
        for (quantity, colour) in quantities() {
            let points: Vec<(f64, f64)> = moved(&quantity.published);
            let inside = |y: f64| y >= self.y.from && y <= self.y.to;
            for (x, y) in points.into_iter().filter(|point| inside(point.1)) {
                area.draw(&Circle::new(frame.at(x, y), 7, colour.filled()))?;
            }
        }
        Ok(())
    }
}
