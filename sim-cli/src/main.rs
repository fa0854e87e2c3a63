//! The command `millstream`.

use std::io::IsTerminal as _;
use std::process::ExitCode;

fn main() -> ExitCode {
    let live = std::io::stderr().is_terminal();
    let colour = live && std::env::var_os("NO_COLOR").is_none();
    sim_cli::end_cleanly_when_interrupted();
    // Not locked: an interruption has a word to say, too.
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    let mut input = std::io::stdin().lock();
    let answers = std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
    let typed = answers.then_some(&mut input as &mut dyn std::io::BufRead);
    let mut streams = sim_cli::Streams { out: &mut out, err: &mut err, colour, typed, live };
    ExitCode::from(sim_cli::run(std::env::args_os(), &mut streams))
}
