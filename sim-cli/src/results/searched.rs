//! A search and what it found.

use super::Source;
use sim_core::layouts::{Found, LayoutChance, Layouts, PutForward};
use sim_core::scenario::Study;
use sim_core::units::UnitSystem;

/// A search with all that is reported of it.
pub(crate) struct Searched<'a> {
    pub(crate) study: &'a Study,
    pub(crate) study_sha256: String,
    pub(crate) base: Source,
    pub(crate) layouts: &'a Layouts<'a>,
    pub(crate) found: Found,
    /// How likely the layouts with names keep their limits, by their place among those put forward.
    pub(crate) chances: Vec<(usize, LayoutChance)>,
    /// Index among those judged of the layout that the base is, if it is one.
    pub(crate) base_index: Option<usize>,
    pub(crate) seed: u32,
    /// How many layouts there are, if that can be counted.
    pub(crate) all: Option<usize>,
    /// Whether it was ended before its budget was used up.
    pub(crate) ended: bool,
    /// Files that the base names, and their texts.
    pub(crate) named_files: Vec<(String, String)>,
    pub(crate) units: UnitSystem,
}

impl Searched<'_> {
    /// Which of the layouts that are put forward `named` is, from 0.
    pub(crate) fn place_of(&self, named: &PutForward) -> usize {
        self.found.named.iter().position(|one| one.index == named.index).unwrap_or(0)
    }

    /// How likely `named` keeps its limits, where that was asked for.
    pub(crate) fn chance_of(&self, named: &PutForward) -> Option<&LayoutChance> {
        let place = self.place_of(named);
        self.chances.iter().find(|(of, _)| *of == place).map(|(_, chance)| chance)
    }

    /// The file of the layout at `place`, from 0.
    pub(crate) fn file_name(&self, place: usize) -> String {
        format!("layout-{:02}.toml", place + 1)
    }
}
