//! The command `millstream`: boom plumbing from a scenario file to numbers and pictures.
//!
//! Everything physical is `sim-core`'s; this crate reads and writes files, prints tables and draws.

mod args;
mod columns;
mod commands;
mod compare;
mod csv_files;
mod diagnosis;
mod digest;
pub mod draw;
mod drawing;
pub mod exit;
mod failure;
mod files;
mod output;
pub mod plots;
mod regular;
mod report;
mod results;
mod series;
mod starter;
mod streams;
mod summary;
mod tables;
mod words;

pub use streams::Streams;

use args::Cli;
use clap::Parser as _;
use std::ffi::OsString;
use std::io::Write;

/// Runs the command with `args` (the program's name first); returns the exit code, one of
/// [`exit`].
pub fn run(args: impl IntoIterator<Item = OsString>, streams: &mut Streams<'_>) -> u8 {
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
