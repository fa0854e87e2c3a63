//! Values as people read them.

use sim_core::units::{Quantity as Q, UnitSystem, show};

/// `value` as people read it; a dash where there is none.
pub fn or_dash(value: Option<f64>, quantity: Q, units: UnitSystem) -> String {
    value.map_or_else(|| "-".into(), |value| show(value, quantity, units))
}
