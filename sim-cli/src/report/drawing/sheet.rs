//! The sheet that a boom is drawn on.

use crate::drawing::route::placed;

/// Width of the drawing; heights follow from what is drawn.
pub(super) const WIDTH: f64 = 1600.0;
pub(super) const SHEET_HEIGHT: f64 = 680.0;

/// A point of the sheet on the drawing.
pub(super) fn on_sheet(point: (f64, f64)) -> (i32, i32) {
    placed(point, (0.0, 0.0, WIDTH, SHEET_HEIGHT))
}
