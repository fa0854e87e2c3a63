//! Values as people read them.

use crate::velocity::show_velocity;
use sim_core::findings::Measure;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// `value` as people read it; a dash where there is none.
pub(crate) fn or_dash(value: Option<f64>, quantity: Q, units: UnitSystem) -> String {
    value.map_or_else(|| "-".into(), |value| show(value, quantity, units))
}

/// `value` of a limit as people read it.
pub(crate) fn shown(measure: Measure, value: f64, units: UnitSystem) -> String {
    match measure {
        Measure::Velocity => show_velocity(value, units),
        Measure::Time => show(value, Q::Duration, units),
        Measure::Volume => show(value, Q::Volume, units),
        Measure::Share => show(value, Q::Share, units),
    }
}
