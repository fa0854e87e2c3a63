//! A diagnosis of one machine.

use sim_core::diagnosis::{Diagnosis, InUse, Measurement, TipWear};
use sim_core::scenario::{Readings, Scenario};
use sim_core::units::UnitSystem;

/// A diagnosis with all that is reported of it.
pub(crate) struct Diagnosed {
    pub(crate) scenario: Scenario,
    pub(crate) readings: Readings,
    pub(crate) diagnosis: Diagnosis,
    pub(crate) next: Vec<Measurement>,
    pub(crate) wear: Vec<TipWear>,
    pub(crate) in_use: Vec<InUse>,
    pub(crate) units: UnitSystem,
}
