//! Volumes, weights and counts as papers state them.

use sim_core::plumbing::Plumbing;
use sim_core::units::UnitSystem;

/// Liquid in all lines when full, m3.
pub(super) fn whole_volume_m3(plumbing: &Plumbing) -> f64 {
    plumbing.volume_by_side().iter().map(|(_, m3)| m3).sum()
}

/// The unit of mass that goes with `units`, and how much of it a kilogram is.
pub(super) fn mass_unit(units: UnitSystem) -> (&'static str, f64) {
    // Exact: NIST SP 811.
    const POUND_KG: f64 = 0.453_592_37;
    match units {
        UnitSystem::Si => ("kg", 1.0),
        UnitSystem::Us => ("lb", 1.0 / POUND_KG),
    }
}
