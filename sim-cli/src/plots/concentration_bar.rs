//! What do the colours of concentration mean?

use super::axes::{Drawn, Pixel};
use super::theme::{FAINT, anchored, stroke, text};
use crate::drawing::map_colour;
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Rectangle, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;
use plotters::style::text_anchor::{HPos, VPos};

/// Length and half the height of the bar, px.
const LENGTH: i32 = 384;
const HALF: i32 = 11;

/// Steps of colour that concentrations are told apart by.
pub(super) const LEVELS: i32 = 64;

/// The bar of concentrations from none to full, its left end at `at`.
pub(super) fn concentration_bar<DB: DrawingBackend>(
    area: &DrawingArea<DB, Shift>,
    (left, y): Pixel,
) -> Drawn<DB> {
    let piece = LENGTH / LEVELS;
    for k in 0..LEVELS {
        let x = left + k * piece;
        let colour = map_colour(f64::from(k) / f64::from(LEVELS - 1));
        area.draw(&Rectangle::new([(x, y - HALF), (x + piece, y + HALF)], colour.filled()))?;
    }
    let corners = [(left, y - HALF), (left + LENGTH, y + HALF)];
    area.draw(&Rectangle::new(corners, stroke(FAINT, 1)))?;
    let style = anchored(text(22), HPos::Right, VPos::Center);
    area.draw(&Text::new("concentration 0 %", (left - 12, y), style))?;
    let style = anchored(text(22), HPos::Left, VPos::Center);
    area.draw(&Text::new("100 %", (left + LENGTH + 12, y), style))
}
