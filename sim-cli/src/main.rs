//! The command `millstream`.

use std::io::IsTerminal as _;
use std::process::ExitCode;

fn main() -> ExitCode {
    let live = std::io::stderr().is_terminal();
    let colour = live && std::env::var_os("NO_COLOR").is_none();
    let (mut out, mut err) = (std::io::stdout().lock(), std::io::stderr().lock());
    let mut streams = sim_cli::Streams { out: &mut out, err: &mut err, colour, live };
    ExitCode::from(sim_cli::run(std::env::args_os(), &mut streams))
}
