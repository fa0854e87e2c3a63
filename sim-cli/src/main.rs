//! The command `millstream`.

use std::env::var_os;
use std::io::IsTerminal as _;
use std::process::ExitCode;
use terminal_size::terminal_size_of;

fn main() -> ExitCode {
    sim_cli::end_cleanly_when_interrupted();
    // Not locked: an interruption has a word to say, too.
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    let mut input = std::io::stdin().lock();
    let answers = std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
    let typed = answers.then_some(&mut input as &mut dyn std::io::BufRead);
    let (no_color, term) = (var_os("NO_COLOR"), var_os("TERM"));
    let takes_colour =
        |terminal| sim_cli::takes_colour(terminal, no_color.as_deref(), term.as_deref());
    let (live, accent) = (err.is_terminal(), takes_colour(out.is_terminal()));
    let (colour, width) = (takes_colour(live), terminal_size_of(&out).map(|(width, _)| width.0));
    let width = sim_cli::line_width(width);
    let mut streams =
        sim_cli::Streams { out: &mut out, err: &mut err, colour, typed, live, accent, width };
    ExitCode::from(sim_cli::run(std::env::args_os(), &mut streams))
}
