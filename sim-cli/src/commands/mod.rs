//! One file a command.

mod check;
mod compare;
mod diagnose;
mod expand;
mod orders;
mod run;
mod texts;
mod tips;

pub(crate) use diagnose::Diagnosed;
pub(crate) use run::Finished;

use crate::args::{Cli, Command, Units};
use crate::failure::Failure;
use crate::{Streams, exit};
use sim_core::scenario::Scenario;
use sim_core::simulation::expected_s;
use sim_core::units::UnitSystem;

/// Carries out what was typed; returns the exit code.
pub(crate) fn dispatch(cli: &Cli, streams: &mut Streams<'_>) -> Result<u8, Failure> {
    match &cli.command {
        Command::Run(args) => return run::run(args, streams),
        Command::Compare(args) => return compare::compare(args, streams),
        Command::Check(args) => return check::check(&args.files, streams),
        Command::Diagnose(args) => diagnose::diagnose(args, streams)?,
        Command::Expand(args) => expand::expand(args, streams)?,
        Command::Orders(args) => orders::orders(args, streams)?,
        Command::Tips(args) => tips::tips(args, streams)?,
        Command::Schema => texts::schema(streams)?,
        Command::Reference => texts::reference(streams)?,
    }
    Ok(exit::DONE)
}

/// Computing time from which a run says beforehand that it is long, s.
const LONG_S: f64 = 60.0;

/// Says on the side of messages that `scenarios` may take long, if they may.
fn tell_if_long<'a>(scenarios: impl Iterator<Item = &'a Scenario>, streams: &mut Streams<'_>) {
    let seconds: f64 = scenarios.map(expected_s).sum();
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

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Si => Self::Si,
            Units::Us => Self::Us,
        }
    }
}
