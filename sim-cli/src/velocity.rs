//! Velocity in lines as people read it. Units of the field, km/h and mph, are those of driving.

use sim_core::units::UnitSystem;

/// Symbol of the unit, how long it is in m/s, and its decimals.
pub(crate) fn velocity_unit(units: UnitSystem) -> (&'static str, f64, usize) {
    match units {
        UnitSystem::Si => ("m/s", 1.0, 2),
        // One foot: exact by definition.
        UnitSystem::Us => ("ft/s", 0.3048, 1),
    }
}

/// `m_s` with its unit.
pub(crate) fn show_velocity(m_s: f64, units: UnitSystem) -> String {
    let (symbol, unit_m_s, decimals) = velocity_unit(units);
    format!("{:.decimals$} {symbol}", m_s / unit_m_s)
}
