//! The plumbing at a few moments, one frame each.

use super::axes::{Drawn, Pixel};
use super::concentration_bar::concentration_bar;
use super::plan::{Look, Looks, Plan, line};
use super::render::{SIZE, picture};
use super::theme::{FAINT, GRID, anchored, bold, stroke, text};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{PathElement, Rectangle, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::WHITE;
use plotters::style::text_anchor::{HPos, VPos};

/// Frames, and how many are side by side.
pub(super) const MOST_FRAMES: usize = 6;
const ACROSS: usize = 2;
/// Where the frames stand, px: left, top, width and height of each.
const FRAMES: (f64, f64, f64, f64) = (40.0, 112.0, 760.0, 242.0);
/// Room in a frame for its title, and to the next frame, px.
const TITLE: f64 = 36.0;
const GAP: f64 = 22.0;

/// What the picture shows.
pub(super) struct Frames {
    pub(super) title: String,
    pub(super) below: String,
    pub(super) plan: Plan,
    /// Each moment's title and looks, at most [`MOST_FRAMES`].
    pub(super) moments: Vec<(String, Looks)>,
}

picture!(Frames);

impl Frames {
    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        area.fill(&WHITE)?;
        area.draw(&Text::new(self.title.clone(), (60, 26), bold(34)))?;
        area.draw(&Text::new(self.below.clone(), (60, 72), text(24)))?;
        for (k, (title, looks)) in self.moments.iter().enumerate() {
            let (column, row) = ((k % ACROSS) as f64, (k / ACROSS) as f64);
            let at = (FRAMES.0 + FRAMES.2 * column, FRAMES.1 + FRAMES.3 * row);
            self.frame(area, at, title, looks)?;
        }
        let foot = SIZE.1 as i32 - 30;
        concentration_bar(area, (210, foot))?;
        let holds_air = |look: &Look| matches!(look, Look::Air | Look::Split { .. });
        if self.moments.iter().any(|(_, looks)| looks.lines.iter().any(holds_air)) {
            air_key(area, (820, foot))?;
        }
        Ok(())
    }

    fn frame<DB: DrawingBackend>(
        &self,
        area: &DrawingArea<DB, Shift>,
        (left, top): (f64, f64),
        title: &str,
        looks: &Looks,
    ) -> Drawn<DB> {
        let (right, bottom) = (left + FRAMES.2 - GAP, top + FRAMES.3 - GAP);
        let corners = [(left as i32, top as i32), (right as i32, bottom as i32 + 10)];
        area.draw(&Rectangle::new(corners, stroke(GRID, 1)))?;
        let style = anchored(text(22), HPos::Left, VPos::Top);
        area.draw(&Text::new(title.to_owned(), (left as i32 + 12, top as i32 + 8), style))?;
        let height = (bottom - top - TITLE) * self.plan.taller;
        self.plan.draw(area, (left + 10.0, bottom - height, right - 10.0, bottom), looks)
    }
}

/// What lines with liquid and lines with air look like, from `left` on.
fn air_key<DB: DrawingBackend>(area: &DrawingArea<DB, Shift>, (left, y): Pixel) -> Drawn<DB> {
    let words = |x: i32, words: &'static str| {
        area.draw(&Text::new(words, (x, y), anchored(text(22), HPos::Left, VPos::Center)))
    };
    area.draw(&PathElement::new(vec![(left, y), (left + 50, y)], stroke(FAINT, 5)))?;
    words(left + 62, "liquid")?;
    line(area, &[(left + 150, y), (left + 204, y)], Look::Air, 2)?;
    words(left + 216, "air, the wall still wet where liquid was")
}
