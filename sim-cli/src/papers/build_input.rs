//! What a build sheet is made from.

use super::catalogue::Catalogue;
use crate::results::Loaded;
use sim_core::units::UnitSystem;

/// What a build sheet is made from.
pub(crate) struct BuildInput<'a> {
    pub(crate) loaded: &'a Loaded,
    pub(crate) against: Option<&'a Loaded>,
    pub(crate) catalogue: &'a Catalogue,
    /// Added to each piece when it is cut, m.
    pub(crate) trim_m: f64,
    /// The same as it was typed.
    pub(crate) trim: &'a str,
    pub(crate) units: UnitSystem,
}
