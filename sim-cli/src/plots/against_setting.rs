//! How does a finding follow a setting?

use super::axes::{Axis, Drawn, Frame};
use super::curves::{Curve, WIDTH, curves, from_nothing};
use super::render::picture;
use super::theme::CURVES;
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::Circle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;

/// Radius of a point, px.
const RADIUS: i32 = 6;
/// What a curve gains in width, and its points in radius, for each curve that would hide it, px.
const WIDER: (u32, i32) = (4, 3);
/// Share of the y axis within which one curve hides another.
const HIDES_WITHIN: f64 = 0.005;

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
    /// For each curve, how many of the later ones would hide it.
    hidden_by: Vec<u32>,
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
        let hidden_by = hidden_by(&points, HIDES_WITHIN * (y.to - y.from));
        let curves = curves.into_iter().zip(&hidden_by);
        let curves = curves.map(|(curve, count)| curve.of_width(WIDTH + WIDER.0 * count)).collect();
        Self { title, x, y, curves, points, hidden_by }
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let frame = Frame::new(area, &self.x, &self.y);
        let some_hidden = self.hidden_by.iter().any(|count| *count > 0);
        let lying = "; where curves coincide, each is narrower than the one below";
        let below = format!("one run for each point{}", if some_hidden { lying } else { "" });
        frame.title(&self.title, &below)?;
        frame.axes()?;
        curves(area, &frame, &self.curves)?;
        for ((points, colour), count) in self.points.iter().zip(CURVES).zip(&self.hidden_by) {
            let radius = RADIUS + WIDER.1 * *count as i32;
            for point in points {
                area.draw(&Circle::new(frame.at(point.0, point.1), radius, colour.filled()))?;
            }
        }
        Ok(())
    }
}

/// For each of `curves`, how many of the later ones run within `within` of it from one value to the next.
fn hidden_by(curves: &[Vec<(f64, f64)>], within: f64) -> Vec<u32> {
    let hides = |later: &[(f64, f64)], curve: &[(f64, f64)]| {
        let near = |at: &(f64, f64)| {
            later.iter().any(|point| point.0 == at.0 && (point.1 - at.1).abs() < within)
        };
        match curve {
            [only] => near(only),
            _ => curve.windows(2).any(|pair| pair.iter().all(near)),
        }
    };
    let count =
        |i: usize| curves[i + 1..].iter().filter(|later| hides(later, &curves[i])).count() as u32;
    (0..curves.len()).map(count).collect()
}

#[cfg(test)]
mod tests {
    use super::hidden_by;

    #[test]
    fn a_curve_is_hidden_where_a_later_one_runs_along_it_and_not_where_they_cross() {
        let level = |y: f64| vec![(1.0, y), (2.0, y), (3.0, y)];
        let rising = vec![(1.0, 0.0), (2.0, 5.0), (3.0, 9.0)];
        let joins = vec![(1.0, 5.0), (2.0, 5.001), (3.0, 7.0)];
        assert_eq!(hidden_by(&[level(5.0), level(5.0), level(5.0)], 0.01), [2, 1, 0]);
        assert_eq!(hidden_by(&[level(5.0), rising], 0.01), [0, 0]);
        assert_eq!(hidden_by(&[level(5.0), joins], 0.01), [1, 0]);
        assert_eq!(hidden_by(&[vec![(1.0, 2.0)], vec![(1.0, 2.0)]], 0.01), [1, 0]);
    }
}
