//! Whether a command may take long.

use crate::Streams;
use sim_core::scenario::Scenario;
use sim_core::simulation::expected_s;

/// Computing time from which a run says beforehand that it is long, s.
const LONG_S: f64 = 60.0;

/// Says on the side of messages that `scenarios` may take long, if they may.
pub(super) fn tell_if_long<'a>(
    scenarios: impl Iterator<Item = &'a Scenario>,
    streams: &mut Streams<'_>,
) {
    let seconds: f64 = scenarios.map(|of| expected_s(&of.machine, &of.course)).sum();
    let about = match seconds {
        ..LONG_S => return,
        ..3600.0 => format!("{:.0} minutes", (seconds / 60.0).ceil()),
        _ => format!("{:.0} hours", (seconds / 3600.0).ceil()),
    };
    // A message that nobody takes is not missed.
    let _ = writeln!(
        streams.err,
        "note: this may compute for some {about}; Ctrl-C ends it, and nothing is then written"
    );
}
