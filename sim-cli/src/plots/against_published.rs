//! How do curves of the product lie to published points?

use super::axes::{Axis, Frame};
use super::curves::{Curve, curves};
use super::picture::{Mark, Picture};
use super::theme::{CURVES, filled};

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
    pub x: Axis,
    /// The upright axis.
    pub y: Axis,
    /// Whether the level axis is logarithmic; it must not reach down to 0 then.
    pub by_decades: bool,
    /// The quantities.
    pub compared: Vec<Compared>,
}

/// `plot` as it is drawn.
pub(super) fn published(plot: &PublishedPlot) -> Picture {
    let along = |x: f64| if plot.by_decades { x.log10() } else { x };
    let moved = |points: &[(f64, f64)]| points.iter().map(|(x, y)| (along(*x), *y)).collect();
    let mut picture = Picture::new(150, &plot.title, &plot.below);
    let x = Axis { from: along(plot.x.from), to: along(plot.x.to), ..plot.x.clone() };
    let frame = Frame::new(&mut picture, x, plot.y.clone());
    let mut frame = if plot.by_decades { frame.by_decades() } else { frame };
    frame.axes();
    let quantities = || plot.compared.iter().zip(CURVES);
    let lines: Vec<Curve> = quantities()
        .map(|(quantity, colour)| Curve::full(&quantity.name, moved(&quantity.ours), colour))
        .collect();
    curves(&mut frame, &lines);
    for (quantity, colour) in quantities() {
        let points: Vec<(f64, f64)> = moved(&quantity.published);
        let inside = |y: f64| y >= plot.y.from && y <= plot.y.to;
        for point in points.into_iter().filter(|point| inside(point.1)) {
            frame.mark(point, Mark::Dot(7, filled(colour)));
        }
    }
    picture
}
