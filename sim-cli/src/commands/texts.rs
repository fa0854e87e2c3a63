//! Formats of files, for programs and for readers; help for shells and the manual.

use crate::args::{Cli, CompletionsArgs, Format, FormatArgs, ManualArgs};
use crate::failure::Failure;
use crate::{Streams, summary, uncertainty};
use clap::CommandFactory as _;
use sim_core::scenario;

pub(crate) fn schema(args: &FormatArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let schema = match args.of {
        Format::Scenario => scenario::schema(),
        Format::Summary => summary::schema(),
        Format::Study => scenario::study_schema(),
    };
    writeln!(streams.out, "{schema:#}")?;
    Ok(())
}

pub(crate) fn reference(args: &FormatArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let page = match args.of {
        Format::Scenario => scenario::reference(),
        Format::Summary => summary::reference(),
        Format::Study => scenario::study_reference() + &uncertainty::reference(),
    };
    streams.out.write_all(page.as_bytes())?;
    Ok(())
}

/// The script is made in memory: its maker ends the program where it cannot write.
pub(crate) fn completions(
    args: &CompletionsArgs,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let (mut command, mut script) = (Cli::command(), Vec::new());
    let name = command.get_name().to_owned();
    clap_complete::generate(args.shell, &mut command, name, &mut script);
    Ok(streams.out.write_all(&script)?)
}

pub(crate) fn manual(args: &ManualArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let mut whole = Cli::command();
    whole.build();
    let page = match &args.of {
        None => whole,
        Some(name) => {
            let of = whole.find_subcommand(name).cloned();
            of.ok_or_else(|| Failure::Input(no_command(name, &whole)))?
        }
    };
    Ok(clap_mangen::Man::new(page).render(&mut streams.out)?)
}

fn no_command(name: &str, whole: &clap::Command) -> String {
    let names: Vec<&str> = whole.get_subcommands().map(clap::Command::get_name).collect();
    format!("there is no command \"{name}\"; there are {}", names.join(", "))
}
