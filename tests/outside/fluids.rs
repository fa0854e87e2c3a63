//! Properties of water.

use crate::support::{columns, number};
use sim_core::fluids::{density, vapour_pressure, viscosity};

/// Source: IAPWS-95 and the IAPWS viscosity release R12-08 at 101 325 Pa, computed with two
/// independent libraries that agree to 1e-12 (`water_properties.csv`).
#[test]
fn water_from_0_to_50_degrees_agrees_with_the_international_formulation() {
    for row in columns("water_properties.csv") {
        let t = number(&row, "temperature_c");
        let off = |got: f64, column: &str| (got / number(&row, column) - 1.0).abs();
        assert!((density(t) - number(&row, "density_kg_m3")).abs() < 0.01, "density at {t}");
        assert!(off(viscosity(t), "dynamic_viscosity_pa_s") < 0.0025, "viscosity at {t}");
        // The row of 0 degC gives the vapour pressure of the triple point, 0.01 degC.
        assert!(
            off(vapour_pressure(t.max(0.01)), "vapour_pressure_pa") < 0.0005,
            "vapour pressure at {t}"
        );
    }
}

/// Source: the density maximum of water near 4 degC, in any handbook.
#[test]
fn water_is_densest_near_four_degrees() {
    assert!(density(4.0) > density(3.0) && density(4.0) > density(5.0));
}
