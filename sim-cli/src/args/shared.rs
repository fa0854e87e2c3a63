//! Options of several commands.

use clap::{Args, ValueEnum};

/// Units to show.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Units {
    /// bar, L/min, L, mm, m.
    Si,
    /// psi, gal/min, gal, in, ft.
    Us,
}

/// What a scenario is trusted with.
#[derive(Debug, Args)]
pub(crate) struct Trust {
    /// Also read files that a scenario names outside its own folder.
    #[arg(long)]
    pub(crate) files_from_anywhere: bool,
}

/// What becomes of files that are there already.
#[derive(Debug, Args)]
pub(crate) struct Replace {
    /// Replace files that are there even if millstream did not write them, or they were changed since.
    #[arg(long)]
    pub(crate) overwrite: bool,
}
