//! The command `millstream` for checks that start it as a program of its own: built with them, never stale.

use std::process::ExitCode;

fn main() -> ExitCode {
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    let mut streams =
        sim_cli::Streams { out: &mut out, err: &mut err, colour: false, typed: None, live: false };
    ExitCode::from(sim_cli::run(std::env::args_os(), &mut streams))
}
