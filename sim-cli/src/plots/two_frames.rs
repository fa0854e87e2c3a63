//! Curves of two kinds over the time of a run, one frame above the other.

use super::axes::{Axis, Drawn, Frame, Margins};
use super::curves::{Curve, curves, from_nothing, ground};
use super::render::{SIZE, picture};
use super::step_spans::Lasting;
use super::timeline::Run;
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use plotters::style::WHITE;

/// Margins of the frames; the upper one leaves its axis of time to the lower one.
const UPPER: Margins = (150, 130, 50, 92);
const LOWER: Margins = (150, 20, 50, 140);
const ALONE: Margins = (150, 130, 50, 140);
/// Height of the upper frame with its margins, px.
const UPPER_HEIGHT: i32 = SIZE.1 as i32 * 53 / 100;

/// Curves and the axis they are measured on.
pub(super) struct Panel {
    axis: Axis,
    curves: Vec<Curve>,
}

impl Panel {
    /// `curves` on an axis called `title`.
    pub(super) fn of(title: String, curves: Vec<Curve>) -> Self {
        Self { axis: from_nothing(title, &curves), curves }
    }
}

/// What the picture shows.
pub(super) struct TwoFrames {
    title: String,
    below: String,
    x: Axis,
    x_above: Axis,
    steps: Vec<Lasting>,
    upper: Panel,
    /// Left out where it has no curves.
    lower: Panel,
}

picture!(TwoFrames);

impl TwoFrames {
    pub(super) fn of(
        run: &Run<'_>,
        title: String,
        below: String,
        upper: Panel,
        lower: Panel,
    ) -> Self {
        let x = run.axis();
        let x_above = Axis { title: String::new(), ..x.clone() };
        Self { title, below, x, x_above, steps: run.steps(), upper, lower }
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        if self.lower.curves.is_empty() {
            let frame = Frame::within(area, &self.x, &self.upper.axis, ALONE);
            frame.title(&self.title, &self.below)?;
            ground(&frame, &self.steps, true)?;
            return curves(area, &frame, &self.upper.curves);
        }
        let (above, under) = area.split_vertically(UPPER_HEIGHT);
        let frame = Frame::within(&above, &self.x_above, &self.upper.axis, UPPER);
        frame.title(&self.title, &self.below)?;
        ground(&frame, &self.steps, true)?;
        curves(&above, &frame, &self.upper.curves)?;
        under.fill(&WHITE)?;
        let frame = Frame::within(&under, &self.x, &self.lower.axis, LOWER);
        ground(&frame, &self.steps, false)?;
        curves(&under, &frame, &self.lower.curves)
    }
}
