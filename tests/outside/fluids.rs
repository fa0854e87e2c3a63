//! Properties of water.

use crate::support::{columns, number};
use crate::validation::sources::{
    CHAPLIN, CRITICAL_TABLES, IAPWS_95, IAPWS_SURFACE, IAPWS_VISCOSITY,
};
use crate::validation::{By, Row, Share, validated};
use sim_core::fluids::{density, surface_tension, vapour_pressure, viscosity};

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
        densities.near(density(t), number(&row, "density_kg_m3"), By(0.005));
        viscosities.near(viscosity(t), number(&row, "dynamic_viscosity_pa_s"), Share(0.0025));
        // The row of 0 degC gives the vapour pressure of the triple point, 0.01 degC.
        let pressure = vapour_pressure(t.max(0.01));
        vapour_pressures.near(pressure, number(&row, "vapour_pressure_pa"), Share(0.0005));
    }
    vec![densities, viscosities, vapour_pressures]
}

/// Source: M. Chaplin, *Water Structure and Science*, open table: viscosity (mPa s), density (kg/m3), vapour pressure
/// (kPa) every 10 degrees.
fn water_from_0_to_50_degrees_agrees_with_an_open_table() -> Vec<Row> {
    let at = "0 to 50 degC, every 10 degrees";
    let of = |quantity: &'static str, unit: &'static str, why: &'static str| {
        Row::new(quantity, at, &[CHAPLIN]).unit(unit).because(why)
    };
    let why = "a formula of three constants stands for the full one";
    let mut viscosities = of("Viscosity of water", "mPa s", why);
    let why = "the table has 995.7 where the international formulation has 995.65";
    let mut densities = of("Density of water", "kg/m3", why);
    let why = "a short formula stands for the full equation of state";
    let mut pressures = of("Vapour pressure of water", "kPa", why);
    for (t, mpa_s, kg_m3, kpa) in [
        (0.0, 1.792, 999.8, 0.611),
        (10.0, 1.307, 999.7, 1.228),
        (20.0, 1.002, 998.2, 2.339),
        (30.0, 0.797, 995.7, 4.247),
        (40.0, 0.653, 992.2, 7.385),
        (50.0, 0.547, 988.0, 12.353),
    ] {
        viscosities.near(1e3 * viscosity(t), mpa_s, Share(0.003));
        densities.near(density(t), kg_m3, By(0.06));
        pressures.near(1e-3 * vapour_pressure(t), kpa, Share(0.0005));
    }
    vec![densities, viscosities, pressures]
}

/// Source: International Critical Tables (1928, 1929), as an encyclopedia prints them (`water_handbook_1928.csv`).
/// Water of 20 degC has 1.0087 mPa s there; 1.002 stands since the measurements of 1952.
fn water_agrees_with_the_tables_of_1928() -> Vec<Row> {
    let of = |quantity: &'static str| {
        Row::new(quantity, "0 to 39 degC, every degree", &[CRITICAL_TABLES])
    };
    let mut densities =
        of("Density of water").unit("kg/m3").because("the litre of then was 0.003 % larger");
    let mut viscosities = of("Viscosity of water")
        .unit("mPa s")
        .because("measurements of a century ago; 1.002 at 20 degC since 1952");
    for row in columns("water_handbook_1928.csv") {
        let t = number(&row, "temperature_c");
        densities.near(density(t), 1e3 * number(&row, "density_g_cm3"), By(0.04));
        viscosities.near(1e3 * viscosity(t), number(&row, "viscosity_cp"), Share(0.007));
    }
    vec![densities, viscosities]
}

/// Source: the table of IAPWS R1-76, mN/m every 10 degrees (from memory).
fn surface_tension_of_water_agrees_with_the_international_table() -> Vec<Row> {
    let mut row = Row::new("Surface tension of water", "0 to 50 degC", &[IAPWS_SURFACE])
        .unit("mN/m")
        .remembered()
        .because("two decimals of the table");
    let table =
        [(0.0, 75.65), (10.0, 74.22), (20.0, 72.74), (30.0, 71.19), (40.0, 69.60), (50.0, 67.94)];
    for (celsius, expected) in table {
        row.near(1e3 * surface_tension(celsius), expected, By(0.01));
    }
    vec![row]
}

validated! {
    Fluids:
        water_from_0_to_50_degrees_agrees_with_the_international_formulation,
        water_from_0_to_50_degrees_agrees_with_an_open_table,
        water_agrees_with_the_tables_of_1928,
        surface_tension_of_water_agrees_with_the_international_table;
}

/// Source: the density maximum of water near 4 degC, in any handbook.
#[test]
fn water_is_densest_near_four_degrees() {
    assert!(density(4.0) > density(3.0) && density(4.0) > density(5.0));
}
