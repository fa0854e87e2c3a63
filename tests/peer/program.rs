//! The command `millstream` for checks that start it as a program of its own: built with them, never stale.

use std::process::ExitCode;

fn main() -> ExitCode {
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    let mut streams = sim_cli::Streams::unwatched(&mut out, &mut err);
    ExitCode::from(sim_cli::run(std::env::args_os(), &mut streams))
}
