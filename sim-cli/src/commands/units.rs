//! The units that a command shows.

use crate::args::Units;
use sim_core::scenario::Scenario;
use sim_core::units::UnitSystem;

/// The units that were typed, or else those that `scenario` asks for.
pub(super) fn units(typed: Option<Units>, scenario: &Scenario) -> UnitSystem {
    typed.map_or(scenario.units, UnitSystem::from)
}

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Si => Self::Si,
            Units::Us => Self::Us,
        }
    }
}
