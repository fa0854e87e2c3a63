//! How does a finding follow a setting?

use super::axes::{Axis, Drawn, Frame};
use super::curves::{Curve, curves, from_nothing};
use super::render::picture;
use super::theme::CURVES;
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::Circle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;

/// One step's finding over the values of the setting, both in the units shown.
pub(crate) struct SettingCurve {
    pub(crate) name: String,
    pub(crate) points: Vec<(f64, f64)>,
}

/// What the picture shows.
pub(crate) struct SettingPlot {
    title: String,
    x: Axis,
    y: Axis,
    curves: Vec<Curve>,
    points: Vec<Vec<(f64, f64)>>,
}

picture!(SettingPlot);

impl SettingPlot {
    /// A finding called `y_title` over the setting called `x_title`.
    pub(crate) fn new(
        title: String,
        x_title: String,
        y_title: String,
        mut of_steps: Vec<SettingCurve>,
    ) -> Self {
        of_steps.truncate(CURVES.len());
        for curve in &mut of_steps {
            curve.points.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        let points: Vec<Vec<(f64, f64)>> = of_steps.iter().map(|of| of.points.clone()).collect();
        let curves: Vec<Curve> = of_steps
            .into_iter()
            .zip(CURVES)
            .map(|(of, colour)| Curve::full(&of.name, of.points, colour))
            .collect();
        let places = || points.iter().flatten().map(|point| point.0);
        let (low, high) =
            places().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
        let room = if high > low { 0.04 * (high - low) } else { 1.0 };
        let (low, high) = if low.is_finite() { (low, high) } else { (0.0, 1.0) };
        let x = Axis { title: x_title, from: low - room, to: high + room };
        let y = from_nothing(y_title, &curves);
        Self { title, x, y, curves, points }
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let frame = Frame::new(area, &self.x, &self.y);
        frame.title(&self.title, "one run for each point")?;
        frame.axes()?;
        curves(area, &frame, &self.curves)?;
        for (points, colour) in self.points.iter().zip(CURVES) {
            for point in points {
                area.draw(&Circle::new(frame.at(point.0, point.1), 6, colour.filled()))?;
            }
        }
        Ok(())
    }
}
