//! How does new liquid move through the plumbing?

use super::axes::{Drawn, Pixel};
use super::render::{SIZE, picture};
use super::route::{self, Canvas, Path, TANK, TUBE, placed, share_of_height};
use super::strength_bar::strength_bar;
use super::theme::{FAINT, GRID, INK, anchored, bold, map_colour, stroke, text};
use super::timeline::{Run, shortened, show_time};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Circle, PathElement, Rectangle, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color as _, RGBColor, WHITE};
use sim_core::simulation::Sample;

/// Frames, and how many stand beside each other.
const MOST_FRAMES: usize = 6;
const ACROSS: usize = 2;
/// Where the frames stand, px: left, top, width and height of each.
const FRAMES: (f64, f64, f64, f64) = (40.0, 112.0, 760.0, 242.0);
/// Height on the sheet that a frame shows beyond the highest line.
const ABOVE: f64 = 9.0;
/// Room in a frame for its title, and to the next frame, px.
const TITLE: f64 = 36.0;
const GAP: f64 = 22.0;
/// Letters of a step's name in a title.
const MOST_LETTERS: usize = 40;
/// Width of the bars that lines meet in, px.
const BAR: u32 = 6;
/// Change of the mean strength, as a share, below which one frame says it all.
const LEAST_CHANGE: f64 = 1e-3;

/// What the picture shows.
pub(super) struct StrengthFrames {
    title: String,
    frames: Vec<Moment>,
    paths: Vec<Path>,
    /// Branches that are parts, by their place among the paths.
    parts: Vec<usize>,
    bars: Vec<Path>,
    tips: Vec<f64>,
    width: u32,
    /// How much taller the sheet would be drawn, were it to fill a frame to its very top.
    taller: f64,
}

/// Colours of one moment; `None` where no liquid is followed.
struct Moment {
    title: String,
    lines: Vec<Option<RGBColor>>,
    bars: Vec<Option<RGBColor>>,
    tank: Option<RGBColor>,
}

picture!(StrengthFrames);

impl StrengthFrames {
    /// The frames, if the plumbing is built like a boom machine.
    pub(super) fn of(run: &Run<'_>) -> Option<Self> {
        let plumbing = &run.scenario.plumbing;
        let sheet = route::sheet(plumbing)?;
        let beside: Vec<Option<usize>> =
            sheet.bars.iter().map(|(node, _)| sheet.line_at(plumbing, *node)).collect();
        let first = sheet.row.first().map(|i| plumbing.branches[*i].from);
        let tank = first.and_then(|node| plumbing.node(node).tank).map(|of| of.tank.index());
        let moment = |(step, sample): &(usize, &Sample)| {
            let colour =
                |strength: f32| (!strength.is_nan()).then(|| map_colour(f64::from(strength)));
            let at_bar = |line: &Option<usize>| line.and_then(|i| colour(sample.lines[i]));
            let name = shortened(&run.scenario.steps[*step].name, MOST_LETTERS);
            Moment {
                title: format!("{}, step \"{name}\"", show_time(sample.time_s)),
                lines: sample.lines.iter().map(|strength| colour(*strength)).collect(),
                bars: beside.iter().map(at_bar).collect(),
                tank: tank.and_then(|i| colour(sample.tanks[i])),
            }
        };
        let heights = sheet.paths.iter().flatten().map(|point| point.1);
        let highest = heights.fold(TUBE, f64::max);
        let is_part = |i: &usize| plumbing.branches[*i].part.line().is_none();
        Some(Self {
            title: format!("{}: strength in the lines", run.scenario.title),
            frames: chosen(run).iter().map(moment).collect(),
            parts: (0..plumbing.branches.len()).filter(is_part).collect(),
            taller: 1.0 / share_of_height(highest + ABOVE).min(1.0),
            width: line_width(plumbing.sections.len()),
            tips: plumbing.tips.iter().map(|tip| tip.x_m / sheet.half_m).collect(),
            bars: sheet.bars.into_iter().map(|(_, bar)| bar).collect(),
            paths: sheet.paths,
        })
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        area.fill(&WHITE)?;
        area.draw(&Text::new(self.title.clone(), (60, 26), bold(34)))?;
        let below = "mean strength in each line and in the tank; grey: parts";
        area.draw(&Text::new(below, (60, 72), text(24)))?;
        for (k, moment) in self.frames.iter().enumerate() {
            let (column, row) = ((k % ACROSS) as f64, (k / ACROSS) as f64);
            let (left, top) = (FRAMES.0 + FRAMES.2 * column, FRAMES.1 + FRAMES.3 * row);
            self.frame(area, (left, top), moment)?;
        }
        strength_bar(area, (210, SIZE.1 as i32 - 30))
    }

    fn frame<DB: DrawingBackend>(
        &self,
        area: &DrawingArea<DB, Shift>,
        (left, top): (f64, f64),
        moment: &Moment,
    ) -> Drawn<DB> {
        let (right, bottom) = (left + FRAMES.2 - GAP, top + FRAMES.3 - GAP);
        let corners = [(left as i32, top as i32), (right as i32, bottom as i32 + 10)];
        area.draw(&Rectangle::new(corners, stroke(GRID, 1)))?;
        let style = anchored(text(22), HPos::Left, VPos::Top);
        area.draw(&Text::new(moment.title.clone(), (left as i32 + 12, top as i32 + 8), style))?;
        let height = (bottom - top - TITLE) * self.taller;
        let canvas = (left + 10.0, bottom - height, right - 10.0, bottom);
        let pixels = |path: &Path| path.iter().map(|at| placed(*at, canvas)).collect::<Vec<_>>();
        for &i in &self.parts {
            area.draw(&PathElement::new(pixels(&self.paths[i]), stroke(FAINT, 2)))?;
        }
        self.tank(area, canvas, moment)?;
        for (path, colour) in self.paths.iter().zip(&moment.lines) {
            if let Some(colour) = colour {
                area.draw(&PathElement::new(pixels(path), stroke(*colour, self.width)))?;
            }
        }
        for (path, colour) in self.bars.iter().zip(&moment.bars) {
            area.draw(&PathElement::new(pixels(path), stroke(colour.unwrap_or(FAINT), BAR)))?;
        }
        self.marks(area, canvas)
    }

    fn tank<DB: DrawingBackend>(
        &self,
        area: &DrawingArea<DB, Shift>,
        canvas: Canvas,
        moment: &Moment,
    ) -> Drawn<DB> {
        let corners = [placed(TANK.0, canvas), placed(TANK.1, canvas)];
        area.draw(&Rectangle::new(corners, moment.tank.unwrap_or(WHITE).filled()))?;
        area.draw(&Rectangle::new(corners, stroke(INK, 2)))
    }

    /// Parts in the middle of their paths, and tips on their tubes.
    fn marks<DB: DrawingBackend>(
        &self,
        area: &DrawingArea<DB, Shift>,
        canvas: Canvas,
    ) -> Drawn<DB> {
        for &i in &self.parts {
            let path = &self.paths[i];
            let (a, b) = (path[(path.len() - 1) / 2], path[(path.len() - 1) / 2 + 1]);
            let middle: Pixel = placed((0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1)), canvas);
            area.draw(&Circle::new(middle, 3, FAINT.filled()))?;
        }
        for &tip in &self.tips {
            let (x, y) = placed((tip, TUBE), canvas);
            area.draw(&PathElement::new(vec![(x, y - 9), (x, y - 4)], stroke(INK, 1)))?;
        }
        Ok(())
    }
}

/// Width of lines, px: the more sections, the closer they run.
fn line_width(sections: usize) -> u32 {
    match sections {
        0..=8 => 4,
        9..=11 => 3,
        _ => 2,
    }
}

/// Samples between which the mean strength of the lines changes by about the same, with their steps.
fn chosen<'a>(run: &Run<'a>) -> Vec<(usize, &'a Sample)> {
    let volume = |branch: &sim_core::plumbing::Branch| {
        branch.part.line().map_or(0.0, sim_core::plumbing::Line::volume_m3)
    };
    let volumes: Vec<f64> = run.scenario.plumbing.branches.iter().map(volume).collect();
    let whole = volumes.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let mean = |sample: &Sample| {
        let lines = sample.lines.iter().zip(&volumes).filter(|(strength, _)| !strength.is_nan());
        lines.map(|(strength, volume)| f64::from(*strength) * volume).sum::<f64>() / whole
    };
    let samples: Vec<(usize, &Sample)> = run.samples().collect();
    let means: Vec<f64> = samples.iter().map(|(_, sample)| mean(sample)).collect();
    let mut changed = vec![0.0; means.len()];
    for i in 1..means.len() {
        changed[i] = changed[i - 1] + (means[i] - means[i - 1]).abs();
    }
    let total = changed.last().copied().unwrap_or(0.0);
    if total < LEAST_CHANGE {
        return samples.into_iter().take(1).collect();
    }
    let nth = |k: usize| {
        let due = total * k as f64 / (MOST_FRAMES - 1) as f64;
        let place = changed.partition_point(|so_far| *so_far < due);
        if k + 1 == MOST_FRAMES { samples.len() - 1 } else { place.min(samples.len() - 1) }
    };
    let mut places: Vec<usize> = (0..MOST_FRAMES).map(nth).collect();
    places.dedup();
    places.into_iter().map(|place| samples[place]).collect()
}
