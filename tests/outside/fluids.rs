//! Properties of water.

use crate::support::{columns, number};
use crate::validation::sources::{IAPWS_95, IAPWS_VISCOSITY};
use crate::validation::{By, Row, Share, validated};
use sim_core::fluids::{density, vapour_pressure, viscosity};

/// Source: IAPWS-95 and the IAPWS viscosity release R12-08 at 101 325 Pa, computed with two
/// independent libraries that agree to 1e-12 (`water_properties.csv`).
fn water_from_0_to_50_degrees_agrees_with_the_international_formulation() -> Vec<Row> {
    let at = "0 to 50 degC at 101 325 Pa";
    let mut densities = Row::new("Density of water", at, &[IAPWS_95])
        .unit("kg/m3")
        .computed()
        .because("a short formula stands for the full equation of state");
    let mut viscosities = Row::new("Viscosity of water", at, &[IAPWS_VISCOSITY])
        .unit("Pa s")
        .computed()
        .because("a formula of three constants stands for the full one");
    let mut vapour_pressures = Row::new("Vapour pressure of water", at, &[IAPWS_95])
        .unit("Pa")
        .computed()
        .because("a short formula stands for the full equation of state");
    for row in columns("water_properties.csv") {
        let t = number(&row, "temperature_c");
        densities.near(density(t), number(&row, "density_kg_m3"), By(0.01));
        viscosities.near(viscosity(t), number(&row, "dynamic_viscosity_pa_s"), Share(0.0025));
        // The row of 0 degC gives the vapour pressure of the triple point, 0.01 degC.
        let pressure = vapour_pressure(t.max(0.01));
        vapour_pressures.near(pressure, number(&row, "vapour_pressure_pa"), Share(0.0005));
    }
    vec![densities, viscosities, vapour_pressures]
}

validated! {
    Fluids: water_from_0_to_50_degrees_agrees_with_the_international_formulation;
}

/// Source: the density maximum of water near 4 degC, in any handbook.
#[test]
fn water_is_densest_near_four_degrees() {
    assert!(density(4.0) > density(3.0) && density(4.0) > density(5.0));
}
