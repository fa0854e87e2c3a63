//! Which time does a whole run cover, in which unit, and what is where in it?

use super::axes::Axis;
use super::step_spans::Lasting;
use crate::results::Finished;
use sim_core::scenario::Scenario;
use sim_core::simulation::{MovedRecord, Record, Sample};
use sim_core::units::UnitSystem;
use std::ops::Range;

/// Longest run shown in seconds, and the longest in minutes, s.
const LONGEST_IN_S: f64 = 600.0;
const LONGEST_IN_MIN: f64 = 3.0 * 3600.0;
/// Columns into which a curve's points are gathered: no screen shows more.
const COLUMNS: f64 = 700.0;
/// Change of concentration from which it is worth a picture.
const LEAST_CHANGE: f32 = 0.005;

/// A whole run as the pictures over time see it.
pub(super) struct Run<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) record: &'a Record,
    pub(super) units: UnitSystem,
    /// What the time is shown in, and its length, s.
    unit: (&'static str, f64),
    from_s: f64,
    to_s: f64,
    /// Which of its steps the pictures show.
    shown: Range<usize>,
}

impl<'a> Run<'a> {
    /// The run, if anything moved in it.
    pub(super) fn of(finished: &'a Finished) -> Option<Self> {
        let record = &finished.record;
        Self::during(finished.scenario(), record, finished.units, 0..record.steps.len())
    }

    /// The part of the run from the first to the last step in which air takes part, if one does.
    pub(super) fn with_air(&self) -> Option<Self> {
        let airy = |i: &usize| self.moved(*i).is_some_and(|moved| moved.air.is_some());
        let first = self.shown.clone().find(airy)?;
        let last = self.shown.clone().rfind(airy)?;
        Self::during(self.scenario, self.record, self.units, first..last + 1)
    }

    fn during(
        scenario: &'a Scenario,
        record: &'a Record,
        units: UnitSystem,
        shown: Range<usize>,
    ) -> Option<Self> {
        let from_s = samples(record, shown.clone()).next()?.1.time_s;
        let to_s = samples(record, shown.clone()).last()?.1.time_s;
        let unit = match to_s - from_s {
            length if length <= LONGEST_IN_S => ("s", 1.0),
            length if length <= LONGEST_IN_MIN => ("min", 60.0),
            _ => ("h", 3600.0),
        };
        (to_s > from_s).then_some(Self { scenario, record, units, unit, from_s, to_s, shown })
    }

    /// Every sample with the number of its step, in order of time.
    pub(super) fn samples(&self) -> impl Iterator<Item = (usize, &'a Sample)> {
        samples(self.record, self.shown.clone())
    }

    /// What moved in step `i`.
    pub(super) fn moved(&self, i: usize) -> Option<&'a MovedRecord> {
        self.record.steps[i].moved.as_ref()
    }

    /// Which steps the pictures show.
    pub(super) fn shown(&self) -> Range<usize> {
        self.shown.clone()
    }

    /// How long it lasts, s.
    pub(super) fn length_s(&self) -> f64 {
        self.to_s - self.from_s
    }

    /// Of `samples`, in order of time, the last of each column that a picture can show.
    pub(super) fn last_of_columns<'s>(
        &self,
        samples: &[(usize, &'s Sample)],
    ) -> Vec<(usize, &'s Sample)> {
        let column = |sample: &Sample| (sample.time_s * COLUMNS / self.length_s()).floor();
        let columns = samples.chunk_by(|a, b| a.0 == b.0 && column(a.1) == column(b.1));
        let first = samples.first().copied();
        first.into_iter().chain(columns.filter_map(|chunk| chunk.last().copied())).collect()
    }

    /// `time_s` in the unit of time.
    pub(super) fn time(&self, time_s: f64) -> f64 {
        time_s / self.unit.1
    }

    /// The axis of time.
    pub(super) fn axis(&self) -> Axis {
        let title = format!("time from the start of the run, {}", self.unit.0);
        Axis { title, from: self.time(self.from_s), to: self.time(self.to_s) }
    }

    /// Steps that last.
    pub(super) fn steps(&self) -> Vec<Lasting> {
        let shown = self.shown.clone();
        let steps = shown.map(|i| (&self.scenario.course.steps[i], &self.record.steps[i]));
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

    /// Whether the concentration of any line, where it holds liquid, or of any tank changes.
    pub(super) fn concentrations_change(&self) -> bool {
        let mut first: Vec<f32> = Vec::new();
        for (_, sample) in self.samples() {
            let all = || sample.lines.iter().chain(&sample.tanks).copied();
            if first.is_empty() {
                first = all().collect();
            }
            for (first, now) in first.iter_mut().zip(all()) {
                if first.is_nan() {
                    *first = now;
                }
                if (now - *first).abs() > LEAST_CHANGE {
                    return true;
                }
            }
        }
        false
    }

    /// What `value` is over time, with no more points than a picture can show.
    pub(super) fn curve(&self, value: impl Fn(&Sample) -> f64) -> Vec<(f64, f64)> {
        self.numbered_curve(|_, sample| value(sample))
    }

    /// The same; `value` is reported each sample's number.
    pub(super) fn numbered_curve(&self, value: impl Fn(usize, &Sample) -> f64) -> Vec<(f64, f64)> {
        let samples = self.samples().enumerate();
        let points: Vec<(f64, f64)> =
            samples.map(|(k, (_, s))| (self.time(s.time_s), value(k, s))).collect();
        thinned(&points, self.time(self.to_s - self.from_s) / COLUMNS)
    }
}

fn samples(record: &Record, shown: Range<usize>) -> impl Iterator<Item = (usize, &Sample)> {
    let moved = shown.filter_map(|i| Some((i, record.steps[i].moved.as_ref()?)));
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

/// `time_s` in words, as finely as a run of its length asks for.
pub(super) fn show_time(time_s: f64) -> String {
    if time_s < 120.0 {
        return format!("{time_s:.1} s");
    }
    let whole = time_s.round() as i64;
    match whole {
        0..3600 => format!("{} min {} s", whole / 60, whole % 60),
        _ => format!("{} h {} min {} s", whole / 3600, whole / 60 % 60, whole % 60),
    }
}

#[cfg(test)]
mod tests {
    use super::{show_time, thinned};

    #[test]
    fn times_read_as_people_say_them() {
        assert_eq!(show_time(12.34), "12.3 s");
        assert_eq!(show_time(150.4), "2 min 30 s");
        assert_eq!(show_time(2.0 * 3600.0 + 61.0), "2 h 1 min 1 s");
    }

    #[test]
    fn a_column_keeps_its_ends_and_extremes() {
        let points: Vec<(f64, f64)> = (0..100)
            .map(|i| (f64::from(i), if i == 42 { 9.0 } else { -f64::from(i % 7) }))
            .collect();
        let kept = thinned(&points, 1000.0);
        assert_eq!(kept.len(), 4);
        assert!(kept.contains(&(42.0, 9.0)) && kept.contains(&points[0]));
        assert_eq!(thinned(&points, 0.5), points);
    }
}
