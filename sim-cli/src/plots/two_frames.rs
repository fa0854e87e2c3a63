//! Curves of two kinds over the time of a run, one frame above the other.

use super::axes::{Axis, Frame, Margins};
use super::curves::{Curve, curves, from_nothing, ground};
use super::picture::{Picture, SIZE};
use super::timeline::Run;

/// Margins of the frames; the upper one leaves its axis of time to the lower one.
const UPPER: Margins = (150, 130, 50, 92);
const LOWER: Margins = (150, 20, 50, 140);
/// Height of the upper frame with its margins, px.
const UPPER_HEIGHT: i32 = SIZE.1 * 53 / 100;

/// `upper` and `lower` curves over the time of `run`, each on an axis with its title and the least it spans; without lower
/// ones the upper ones have the picture to themselves.
pub(super) fn two_frames(
    run: &Run<'_>,
    (title, below): (String, String),
    (upper_title, upper_least, upper): (String, f64, Vec<Curve>),
    (lower_title, lower_least, lower): (String, f64, Vec<Curve>),
) -> Picture {
    let mut picture = Picture::new(UPPER.0, title, below);
    let (x, steps) = (run.axis(), run.steps());
    let y = from_nothing(upper_title, &upper, upper_least);
    if lower.is_empty() {
        let mut frame = Frame::new(&mut picture, x, y);
        ground(&mut frame, &steps, true);
        curves(&mut frame, &upper);
        return picture;
    }
    let x_above = Axis { title: String::new(), ..x.clone() };
    let mut frame = Frame::between(&mut picture, (0, UPPER_HEIGHT), x_above, y, UPPER);
    ground(&mut frame, &steps, true);
    curves(&mut frame, &upper);
    let y = from_nothing(lower_title, &lower, lower_least);
    let mut frame = Frame::between(&mut picture, (UPPER_HEIGHT, SIZE.1), x, y, LOWER);
    ground(&mut frame, &steps, false);
    curves(&mut frame, &lower);
    picture
}
