//! How far a command is, and how long it takes: a forecast from its own pace.

use crate::Streams;
use sim_core::scenario::Scenario;
use sim_core::simulation::{self, Record, RunError, expected_s};
use std::io::Write;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Computing time from which a command says beforehand that it is long, s.
const LONG_S: f64 = 60.0;
/// Time after which the pace of a command says how long it will take, s.
const FORECAST_AFTER_S: f64 = 3.0;
/// Time after which somebody who watches is shown how far it is, s.
const SHOWN_AFTER_S: f64 = 2.0;
/// Time between two looks at the clock that count.
const LOOK_EVERY: Duration = Duration::from_millis(200);
/// Width of what is shown to somebody who watches.
const WIDTH: usize = 60;

/// The runs of a command under way, on whatever threads.
pub(super) struct Watch<'a> {
    begun: Instant,
    /// Expected work of all runs, in any unit.
    all: f64,
    live: bool,
    state: Mutex<Underway<'a>>,
}

/// What was shown, and what is done.
struct Underway<'a> {
    err: &'a mut (dyn Write + Send),
    /// Expected work that is done.
    done: f64,
    long: bool,
    shown: bool,
}

impl<'a> Watch<'a> {
    /// Watches runs of `scenarios`, which begin now.
    pub(super) fn new<'s>(
        scenarios: impl Iterator<Item = &'s Scenario>,
        streams: &'a mut Streams<'_>,
    ) -> Self {
        let all = scenarios.flat_map(|of| expected_s(&of.machine, &of.course)).sum();
        let state = Underway { err: &mut *streams.err, done: 0.0, long: false, shown: false };
        Self { begun: Instant::now(), all, live: streams.live, state: Mutex::new(state) }
    }

    /// Runs one of the scenarios.
    pub(super) fn run(&self, scenario: &Scenario) -> Result<Record, RunError> {
        let (machine, course) = (&scenario.machine, &scenario.course);
        let work = expected_s(machine, course);
        let before: Vec<f64> =
            work.iter().scan(0.0, |sum, work| Some(std::mem::replace(sum, *sum + work))).collect();
        let (mut looked, mut counted) = (self.begun, 0.0);
        let record = simulation::run_watched(machine, course, &mut |step, share| {
            let now = Instant::now();
            if now - looked >= LOOK_EVERY {
                let done = before[step] + share * work[step];
                self.look(now - self.begun, done - counted);
                (looked, counted) = (now, done);
            }
        });
        self.state.lock().unwrap_or_else(PoisonError::into_inner).done +=
            work.iter().sum::<f64>() - counted;
        record
    }

    /// Counts `more` work as done, and shows what there is to show. A message that nobody takes is not missed.
    fn look(&self, passed: Duration, more: f64) {
        let mut state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        state.done += more;
        let (passed_s, share) = (passed.as_secs_f64(), state.done / self.all);
        let whole_s = passed_s / share.clamp(f64::MIN_POSITIVE, 1.0);
        if !state.long && passed_s >= FORECAST_AFTER_S && whole_s >= LONG_S {
            state.clear();
            state.long = true;
            let _ = writeln!(
                state.err,
                "note: at its pace this computes for some {}; Ctrl-C ends it, and nothing is then written",
                about(whole_s)
            );
        }
        if self.live && passed_s >= SHOWN_AFTER_S {
            let line =
                format!("{:.0} % done, some {} to go", 100.0 * share, about(whole_s - passed_s));
            let _ = write!(state.err, "\r{line:WIDTH$}");
            let _ = state.err.flush();
            state.shown = true;
        }
    }
}

/// Many small pieces of work under way, on whatever threads, for somebody who watches.
pub(super) struct Pace<'a> {
    begun: Instant,
    of: usize,
    live: bool,
    state: Mutex<(&'a mut (dyn Write + Send), usize, Instant, bool)>,
}

impl<'a> Pace<'a> {
    /// Watches `of` pieces, which begin now.
    pub(super) fn new(of: usize, streams: &'a mut Streams<'_>) -> Self {
        let begun = Instant::now();
        Self {
            begun,
            of,
            live: streams.live,
            state: Mutex::new((&mut *streams.err, 0, begun, false)),
        }
    }

    /// One more is done; `found` says what came of all so far.
    pub(super) fn one_more(&self, found: &str) {
        let mut state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        let (err, done, looked, shown) = &mut *state;
        *done += 1;
        let now = Instant::now();
        if !self.live || now - *looked < LOOK_EVERY {
            return;
        }
        *looked = now;
        let left = self.of.saturating_sub(*done) as f64 / *done as f64;
        let left = about((now - self.begun).as_secs_f64() * left);
        let line = format!("{done} of {}, {found}, some {left} to go", self.of);
        let _ = write!(err, "\r{line:WIDTH$}");
        let _ = err.flush();
        *shown = true;
    }
}

impl Drop for Pace<'_> {
    fn drop(&mut self) {
        let mut state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        if std::mem::take(&mut state.3) {
            let _ = write!(state.0, "\r{:WIDTH$}\r", "");
        }
    }
}

impl Underway<'_> {
    /// Takes away what is shown.
    fn clear(&mut self) {
        if std::mem::take(&mut self.shown) {
            let _ = write!(self.err, "\r{:WIDTH$}\r", "");
        }
    }
}

impl Drop for Underway<'_> {
    fn drop(&mut self) {
        self.clear();
    }
}

/// A time in words.
fn about(seconds: f64) -> String {
    let (number, unit) = match seconds {
        ..60.0 => (seconds.ceil().max(1.0), "second"),
        ..3600.0 => ((seconds / 60.0).round(), "minute"),
        ..360_000.0 => ((seconds / 3600.0).round(), "hour"),
        _ => return "more than 100 hours".into(),
    };
    format!("{number} {unit}{}", if number == 1.0 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::{Underway, Watch};
    use std::io::Write;
    use std::sync::Mutex;
    use std::time::{Duration, Instant};

    /// What is shown of 100 parts of work, so many of them done after so many seconds.
    fn output(live: bool, looks: &[(u64, f64)]) -> String {
        let mut out = Vec::new();
        let err: &mut (dyn Write + Send) = &mut out;
        let state = Mutex::new(Underway { err, done: 0.0, long: false, shown: false });
        let watch = Watch { begun: Instant::now(), all: 100.0, live, state };
        looks.iter().for_each(|(s, more)| watch.look(Duration::from_secs(*s), *more));
        drop(watch);
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn a_pace_of_more_than_a_minute_is_reported_once_and_a_faster_one_not_at_all() {
        let note = "note: at its pace this computes for some 3 minutes; Ctrl-C ends it, and nothing is then written\n";
        assert_eq!(output(false, &[(1, 1.0), (3, 1.0), (4, 1.0), (90, 50.0)]), note);
        assert_eq!(output(false, &[(1, 0.0), (3, 6.0), (4, 6.0), (59, 87.0)]), "");
        // It slows down: reported when it shows.
        assert!(output(false, &[(3, 6.0), (10, 0.0), (20, 0.0)]).starts_with("note: "));
        assert!(output(false, &[(10, 0.0)]).contains("some more than 100 hours;"));
    }

    #[test]
    fn who_watches_is_shown_how_far_it_is_after_two_seconds_and_nothing_stays() {
        assert_eq!(output(true, &[(1, 10.0)]), "");
        let shown = output(true, &[(1, 10.0), (2, 10.0), (5, 30.0)]);
        assert!(shown.starts_with("\r20 % done, some 8 seconds to go "), "{shown:?}");
        assert!(shown.contains("\r50 % done, some 5 seconds to go "), "{shown:?}");
        assert!(shown.ends_with(&format!("\r{:60}\r", "")), "{shown:?}");
        assert_eq!(output(false, &[(2, 10.0), (5, 30.0)]), "");
    }
}
