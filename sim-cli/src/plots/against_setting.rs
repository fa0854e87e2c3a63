//! How does a finding follow a setting?

use super::axes::{Axis, Frame, extent, least_span};
use super::curves::{Curve, WIDTH, curves, from_nothing};
use super::picture::{Mark, Picture};
use super::theme::{CURVES, filled};
use sim_core::units::DisplayUnit;

/// Radius of a point, px.
const RADIUS: i32 = 6;
/// What a curve gains in width, and its points in radius, for each curve that would hide it, px.
const WIDER: (u32, i32) = (4, 3);
/// Share of the y axis within which one curve hides another.
const HIDES_WITHIN: f64 = 0.005;

/// The name of a step and one of its findings over the values of a setting, both in the units shown.
pub(crate) type SettingCurve = (String, Vec<(f64, f64)>);

/// The values of a setting as an axis: what it is called, and names instead of numbers where values are none.
#[derive(Debug, PartialEq)]
pub(crate) struct SettingAxis {
    pub(crate) title: String,
    pub(crate) names: Vec<(f64, String)>,
}

/// A finding in `unit`, called `name`, over the setting of `x_axis`.
pub(crate) fn against_setting(
    title: String,
    x_axis: SettingAxis,
    (name, unit): (&str, &DisplayUnit),
    mut of_steps: Vec<SettingCurve>,
) -> Picture {
    of_steps.truncate(CURVES.len());
    for (_, points) in &mut of_steps {
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    let points: Vec<Vec<(f64, f64)>> = of_steps.iter().map(|(_, points)| points.clone()).collect();
    let drawn = of_steps.into_iter().zip(CURVES);
    let drawn: Vec<Curve> =
        drawn.map(|((name, points), colour)| Curve::full(&name, points, colour)).collect();
    let (low, high) = extent(points.iter().flatten().map(|point| point.0)).unwrap_or((0.0, 1.0));
    let room = if high > low { 0.04 * (high - low) } else { 1.0 };
    let x = Axis { title: x_axis.title, from: low - room, to: high + room };
    let y = from_nothing(format!("{name}, {}", unit.symbol), &drawn, least_span(unit));
    let hidden_by = hidden_by(&points, HIDES_WITHIN * (y.to - y.from));
    let wider = drawn.into_iter().zip(&hidden_by);
    let drawn: Vec<Curve> =
        wider.map(|(curve, count)| curve.of_width(WIDTH + WIDER.0 * count)).collect();
    let some_hidden = hidden_by.iter().any(|count| *count > 0);
    let lying = "; where curves coincide, each is narrower than the one below";
    let below = format!("one run for each point{}", if some_hidden { lying } else { "" });
    let mut picture = Picture::new(150, title, below);
    let mut frame = Frame::new(&mut picture, x, y).named(x_axis.names);
    frame.axes();
    curves(&mut frame, &drawn);
    for ((points, colour), count) in points.iter().zip(CURVES).zip(&hidden_by) {
        let radius = RADIUS + WIDER.1 * *count as i32;
        points.iter().for_each(|point| frame.mark(*point, Mark::Dot(radius, filled(colour))));
    }
    picture
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
