//! The command `millstream`: boom plumbing from a scenario file to numbers and pictures.
//!
//! Everything physical is `sim-core`'s; this crate reads and writes files, prints tables and draws.

mod args;
mod commands;
mod compare;
mod csv_files;
mod diagnosis;
pub mod draw;
pub mod exit;
mod failure;
mod files;
mod output;
pub mod plots;
mod report;
mod summary;
mod tables;
mod velocity;

use args::Cli;
use clap::Parser as _;
use std::ffi::OsString;
use std::io::Write;

/// Where a run prints.
pub struct Streams<'a> {
    /// Results.
    pub out: &'a mut dyn Write,
    /// Messages.
    pub err: &'a mut dyn Write,
    /// Whether messages may carry colour.
    pub colour: bool,
    /// Whether somebody watches the messages as they come.
    pub live: bool,
}

impl std::fmt::Debug for Streams<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Streams").field("colour", &self.colour).finish_non_exhaustive()
    }
}

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
    let stream = if help { &mut streams.out } else { &mut streams.err };
    // A reader that has gone away needs no answer.
    let _ = stream.write_all(text.as_bytes());
    if help { exit::DONE } else { exit::BAD_INPUT }
}
