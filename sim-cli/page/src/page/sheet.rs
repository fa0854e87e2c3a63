//! The sheet that a machine is drawn on.

use crate::drawing::sheet::{Canvas, Path, SheetPoint, placed};

/// Width of the drawing; heights follow from what is drawn.
pub(super) const WIDTH: f64 = 1600.0;
pub(super) const SHEET_HEIGHT: f64 = 713.0;
/// Where the sheet is.
pub(super) const CANVAS: Canvas = (0.0, 0.0, WIDTH, SHEET_HEIGHT);

/// A point of the sheet on the drawing.
pub(super) fn on_sheet(point: SheetPoint) -> (i32, i32) {
    placed(point, CANVAS)
}

/// A path of the sheet on the drawing.
pub(super) fn pixels(path: &Path) -> Vec<(i32, i32)> {
    path.iter().map(|point| on_sheet(*point)).collect()
}
