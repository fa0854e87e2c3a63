//! Which time does a whole run cover, in which unit, and where do its steps lie?

use super::axes::{Axis, Drawn, Frame};
use super::theme::BAND;
use crate::commands::Finished;
use plotters::prelude::DrawingBackend;
use sim_core::scenario::Scenario;
use sim_core::simulation::{Record, Sample};
use sim_core::units::UnitSystem;

/// Longest run shown in seconds, and the longest in minutes, s.
const LONGEST_IN_S: f64 = 600.0;
const LONGEST_IN_MIN: f64 = 3.0 * 3600.0;
/// Columns into which a curve's points are gathered: no screen shows more.
const COLUMNS: f64 = 700.0;
/// Most names of steps on one picture, and the room of a letter of them, px.
const MOST_NAMES: usize = 12;
const LETTER: i32 = 11;

/// A whole run as the pictures over time see it.
pub(super) struct Run<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) record: &'a Record,
    pub(super) units: UnitSystem,
    /// What the time is shown in, and its length, s.
    unit: (&'static str, f64),
    from_s: f64,
    to_s: f64,
}

/// A step that lasts, and when, in the unit of time.
#[derive(Clone, Debug)]
pub(super) struct Lasting {
    pub(super) name: String,
    pub(super) from: f64,
    pub(super) to: f64,
}

impl<'a> Run<'a> {
    /// The run, if anything moved in it.
    pub(super) fn of(finished: &'a Finished, units: UnitSystem) -> Option<Self> {
        let (scenario, record) = (&finished.loaded.scenario, &finished.record);
        let from_s = samples(record).next()?.1.time_s;
        let to_s = samples(record).last()?.1.time_s;
        let unit = match to_s - from_s {
            length if length <= LONGEST_IN_S => ("s", 1.0),
            length if length <= LONGEST_IN_MIN => ("min", 60.0),
            _ => ("h", 3600.0),
        };
        (to_s > from_s).then_some(Self { scenario, record, units, unit, from_s, to_s })
    }

    /// Every sample with the number of its step, in order of time.
    pub(super) fn samples(&self) -> impl Iterator<Item = (usize, &'a Sample)> {
        samples(self.record)
    }

    /// `time_s` in the unit of time.
    pub(super) fn time(&self, time_s: f64) -> f64 {
        time_s / self.unit.1
    }

    /// `time_s` with its unit.
    pub(super) fn show_time(&self, time_s: f64) -> String {
        format!("{:.1} {}", self.time(time_s), self.unit.0)
    }

    /// The axis of time.
    pub(super) fn axis(&self) -> Axis {
        let title = format!("time, {}", self.unit.0);
        Axis { title, from: self.time(self.from_s), to: self.time(self.to_s) }
    }

    /// Steps that last.
    pub(super) fn steps(&self) -> Vec<Lasting> {
        let steps = self.scenario.steps.iter().zip(&self.record.steps);
        let lasting = steps.filter(|(_, record)| record.end_s > record.start_s);
        let span = |record: &sim_core::simulation::StepRecord| {
            (self.time(record.start_s), self.time(record.end_s))
        };
        let named = lasting.map(|(step, record)| {
            let (from, to) = span(record);
            Lasting { name: step.name.clone(), from, to }
        });
        named.collect()
    }

    /// What `value` is over time, with no more points than a picture can show.
    pub(super) fn curve(&self, value: impl Fn(&Sample) -> f64) -> Vec<(f64, f64)> {
        let points: Vec<(f64, f64)> =
            self.samples().map(|(_, sample)| (self.time(sample.time_s), value(sample))).collect();
        thinned(&points, self.time(self.to_s - self.from_s) / COLUMNS)
    }
}

fn samples(record: &Record) -> impl Iterator<Item = (usize, &Sample)> {
    let steps = record.steps.iter().enumerate();
    let moved = steps.filter_map(|(i, step)| Some((i, step.moved.as_ref()?)));
    moved.flat_map(|(i, moved)| moved.samples.iter().map(move |sample| (i, sample)))
}

/// Of each column of `width` the first, the last, the lowest and the highest point.
fn thinned(points: &[(f64, f64)], width: f64) -> Vec<(f64, f64)> {
    let column = |point: &(f64, f64)| (point.0 / width).floor();
    let mut kept = Vec::new();
    for chunk in points.chunk_by(|a, b| column(a) == column(b)) {
        let extreme = |sign: f64| {
            let places = 0..chunk.len();
            places.max_by(|a, b| (sign * chunk[*a].1).total_cmp(&(sign * chunk[*b].1))).unwrap_or(0)
        };
        let mut places = [0, extreme(1.0), extreme(-1.0), chunk.len() - 1];
        places.sort_unstable();
        let mut last = None;
        for place in places {
            if last != Some(place) {
                kept.push(chunk[place]);
                last = Some(place);
            }
        }
    }
    kept
}

/// Every other step as a shaded strip, under the grid.
pub(super) fn step_strips<DB: DrawingBackend>(
    frame: &Frame<'_, DB>,
    steps: &[Lasting],
) -> Drawn<DB> {
    steps.iter().step_by(2).try_for_each(|step| frame.strip(step.from, step.to, BAND))
}

/// Where steps meet.
pub(super) fn step_lines<DB: DrawingBackend>(
    frame: &Frame<'_, DB>,
    steps: &[Lasting],
) -> Drawn<DB> {
    steps.iter().skip(1).try_for_each(|step| frame.upright(step.from))
}

/// Names of the steps along the top: of those whose names would meet, the longest step's.
pub(super) fn step_names<DB: DrawingBackend>(
    frame: &Frame<'_, DB>,
    steps: &[Lasting],
) -> Drawn<DB> {
    let ((left, _), (right, _)) = frame.corners();
    let room = |step: &Lasting| {
        let half = LETTER * step.name.chars().count() as i32 / 2 + LETTER;
        let middle = frame.at(0.5 * (step.from + step.to), 0.0).0;
        let middle = middle.min(right - half).max(left + half);
        (middle - half, middle + half)
    };
    for (step, (from, to)) in apart(steps, room) {
        frame.words_above((from + to) / 2, &step.name)?;
    }
    Ok(())
}

/// Steps whose `room` does not meet that of a longer one, and no more than a picture bears.
pub(super) fn apart(
    steps: &[Lasting],
    room: impl Fn(&Lasting) -> (i32, i32),
) -> Vec<(&Lasting, (i32, i32))> {
    let mut longest: Vec<&Lasting> = steps.iter().collect();
    longest.sort_by(|a, b| (b.to - b.from).total_cmp(&(a.to - a.from)));
    let mut placed: Vec<(&Lasting, (i32, i32))> = Vec::new();
    for step in longest {
        let (from, to) = room(step);
        let free = placed.iter().all(|(_, other)| to <= other.0 || other.1 <= from);
        if free && placed.len() < MOST_NAMES {
            placed.push((step, (from, to)));
        }
    }
    placed
}

/// `name` cut to at most `letters`.
pub(super) fn shortened(name: &str, letters: usize) -> String {
    if name.chars().count() <= letters {
        return name.to_owned();
    }
    let kept: String = name.chars().take(letters.saturating_sub(2)).collect();
    format!("{kept}..")
}
