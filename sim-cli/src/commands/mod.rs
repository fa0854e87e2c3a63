//! One file a command.

mod caution;
mod check;
mod compare;
mod deliver;
mod diagnose;
mod expand;
mod given;
mod live;
mod long;
mod new;
mod orders;
mod papers;
mod run;
mod run_files;
mod search;
mod texts;
mod tips;
mod uncertain;
mod units;

use crate::args::{Cli, Command};
use crate::failure::Failure;
use crate::{Streams, exit};

/// Carries out what was typed; returns the exit code.
pub(crate) fn dispatch(cli: &Cli, streams: &mut Streams<'_>) -> Result<u8, Failure> {
    match &cli.command {
        Command::Run(args) => return run::run(args, streams),
        Command::Check(args) => return check::check(args, streams),
        Command::New(args) => new::new(args, streams)?,
        Command::Compare(args) => compare::compare(args, streams)?,
        Command::Diagnose(args) => diagnose::diagnose(args, streams)?,
        Command::Expand(args) => expand::expand(args, streams)?,
        Command::Live(args) => live::live(args, streams)?,
        Command::Papers(args) => papers::papers(args, streams)?,
        Command::Orders(args) => orders::orders(args, streams)?,
        Command::Search(args) => search::search(args, streams)?,
        Command::Tips(args) => tips::tips(args, streams)?,
        Command::Schema(args) => texts::schema(args, streams)?,
        Command::Reference(args) => texts::reference(args, streams)?,
        Command::Completions(args) => texts::completions(args, streams)?,
        Command::Manual(args) => texts::manual(args, streams)?,
    }
    Ok(exit::DONE)
}
