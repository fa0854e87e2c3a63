//! What of a run can be asked for by name.

use clap::ValueEnum;

/// Part of what a run prints.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Piece {
    /// Every figure of every step, steps beside each other.
    Figures,
    /// Every limit, met or not, and who demands it.
    Limits,
    /// Warnings step by step.
    Warnings,
    /// What each step does, in sentences.
    Sentences,
    /// Operating points of pumps, and what controls hold.
    Pump,
    /// When new liquid is at the tips, and what is sprayed below full strength.
    Priming,
    /// Flow and pressures of every section.
    Sections,
    /// Where the pressure goes.
    Losses,
    /// When lines that held air are full.
    Filling,
    /// When air comes through, and where the residual is.
    Purge,
    /// Every tip.
    Tips,
    /// Every line and part.
    Lines,
}
