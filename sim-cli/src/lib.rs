//! The command `millstream`: boom plumbing from a scenario file to numbers and pictures.
//!
//! Everything physical is `sim-core`'s; this crate reads and writes files, prints tables and draws.

mod args;
mod columns;
mod commands;
mod compare;
mod diagnosis;
mod digest;
pub mod draw;
pub mod exit;
mod failure;
mod files;
mod live;
mod output;
mod papers;
pub mod plots;
mod regular;
mod report;
mod results;
mod screen;
mod search;
mod series;
mod starter;
mod streams;
mod summary;
mod tables;
mod uncertainty;
mod words;

pub use streams::{Streams, line_width, takes_colour};

use args::Cli;
use clap::Parser as _;
use std::ffi::OsString;
use std::io::Write;

/// What to do next, for who types the name of the command alone.
const NEXT: &str = "\
Millstream computes what happens in the lines of a sprayer's boom. A file describes the machine:
  write a file of yours:      millstream new mine.toml
  what does the machine do?   millstream run mine.toml --out out
  which layout is better?     millstream compare ONE.toml OTHER.toml --out out
  every command, its options: millstream --help, millstream run --help
";

/// Runs the command with `args` (the program's name first); returns the exit code, one of
/// [`exit`].
pub fn run(args: impl IntoIterator<Item = OsString>, streams: &mut Streams<'_>) -> u8 {
    let args: Vec<OsString> = args.into_iter().collect();
    if args.len() < 2 {
        let _ = streams.err.write_all(NEXT.as_bytes());
        return exit::BAD_INPUT;
    }
    let outcome = match Cli::try_parse_from(args) {
        Ok(cli) => commands::dispatch(&cli, streams),
        Err(error) => return usage(&error, streams),
    };
    match outcome {
        Ok(code) => code,
        Err(failure) => failure.report(streams),
    }
}

/// Makes Ctrl-C, and being asked to end, leave no half-written file and exit with [`exit::INTERRUPTED`]. For a process
/// that does nothing but [`run`].
pub fn end_cleanly_when_interrupted() {
    output::install();
}

/// Prints what the argument parser has to say: help on the results' side, mistakes on the other.
fn usage(error: &clap::Error, streams: &mut Streams<'_>) -> u8 {
    let (text, help) = (error.render().to_string(), !error.use_stderr());
    let stream: &mut dyn Write = if help { streams.out } else { streams.err };
    // A reader that has gone away needs no answer.
    let _ = stream.write_all(text.as_bytes());
    if help { exit::DONE } else { exit::BAD_INPUT }
}
