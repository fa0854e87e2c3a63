//! Air through valves, holes and empty lines.

use crate::support::{FOOT, GPM, columns, number};
use crate::validation::sources::{
    GAS_LINE, GAS_VELOCITY, ISENTROPIC, ISENTROPIC_TABLE, ISO_6358, MOSS, ORIFICE_EXAMPLE,
    VALVE_SIZING,
};
use crate::validation::{Row, Share, validated};
use approx::assert_relative_eq;
use proptest::prelude::*;
use sim_core::air::{PRESSURE_OVER_DENSITY_J_KG, Restriction, mass_flux};
use std::f64::consts::PI;

pub(crate) fn part(dm3_s_bar: f64, critical_ratio: f64) -> Restriction {
    Restriction { sonic_conductance_m3_s_pa: dm3_s_bar * 1e-8, critical_ratio }
}

/// Source: ISO 6358 as an open component documentation works it out: 1 dm3/(s bar), b 0.35, 700 to 100 kPa at
/// 293.15 K pass 0.008295 kg/s; 700 to 500 kPa computed by the same law.
fn a_valve_passes_the_published_mass_flow() -> Vec<Row> {
    let valve = part(1.0, 0.35);
    let of = |at: &'static str| Row::new("Air through a valve", at, &[ISO_6358]).unit("kg/s");
    vec![
        of("1 dm3/(s bar), b 0.35, 7 to 1 bar, choked").because("four printed figures").with(
            valve.flow(700e3, 100e3).kg_s,
            0.008_295,
            Share(1e-4),
        ),
        of("the same from 7 to 5 bar").computed().because("the standard's formula").with(
            valve.flow(700e3, 500e3).kg_s,
            0.006_869_9,
            Share(1e-5),
        ),
    ]
}

/// Source: sizing example in component documentation: 3 dm3/(s bar) and 600 L/min of free air at 6 bar gauge
/// lose about 0.55 bar. By the law (computed) 0.590, 0.548 and 0.506 bar at b 0.30, 0.35 and 0.40.
fn a_valve_loses_the_published_pressure() -> Vec<Row> {
    let (upstream, flow) = (600e3 + 101_325.0, 0.01 * 1.185);
    let of = |at: &'static str| Row::new("Loss of an air valve", at, &[VALVE_SIZING]).unit("bar");
    let mut computed = of("the same, b 0.30 to 0.40").computed().because("three decimals");
    for (b, bar) in [(0.30, 0.590), (0.35, 0.548), (0.40, 0.506)] {
        let valve = part(3.0, b);
        let downstream = upstream - bar * 1e5;
        assert_relative_eq!(valve.flow(upstream, downstream).kg_s, flow, max_relative = 1e-3);
        let back = valve.upstream(flow, downstream).pa;
        computed.near((back - downstream) / 1e5, bar, Share(2e-3));
    }
    let downstream = upstream - 0.55e5;
    let published = part(3.0, 0.35).upstream(flow, downstream).pa;
    assert_relative_eq!(published, upstream, max_relative = 1e-3);
    let row =
        of("3 dm3/(s bar), b 0.35, 600 L/min free air at 6 bar").because("printed as about 0.55");
    vec![row.with((published - downstream) / 1e5, 0.55, Share(0.013)), computed]
}

/// Source: ideal nozzle: choked mass flow 0.040415 A p / sqrt(T), computed: 1 mm2 is 0.1992 dm3/(s bar); a
/// hole of 5 mm with discharge coefficient 0.8 at 8 bar passes 0.029662 kg/s.
fn an_ideal_hole_has_the_conductance_of_its_area() -> Vec<Row> {
    let hole = Restriction::ideal(1e-6);
    let of = |quantity: &'static str, at: &'static str| {
        Row::new(quantity, at, &[ISENTROPIC]).computed().because("four figures")
    };
    let conductance = 1e8 * hole.sonic_conductance_m3_s_pa;
    let mut rows = vec![
        of("Sonic conductance of a hole", "1 mm2, ideal").unit("dm3/(s bar)").with(
            conductance,
            0.1992,
            Share(3e-4),
        ),
        of("Critical pressure ratio of air", "ideal gas, 1.4").with(
            hole.critical_ratio,
            0.5283,
            Share(1e-4),
        ),
    ];
    assert_relative_eq!(hole.ideal_area_m2(), 1e-6, max_relative = 1e-12);
    let leak = Restriction::ideal(0.8 * PI / 4.0 * 0.005f64.powi(2));
    let row = of("Air through a hole", "5 mm, coefficient 0.8, 8 bar").unit("kg/s");
    rows.push(row.with(leak.flow(8e5, 101_325.0).kg_s, 0.029_662, Share(1e-4)));
    rows
}

/// Source: worked example of an open course: 6 to 2.8 bar at 25 degC through 250 mm2 pass 0.341 kg/s, with a
/// coefficient of discharge of 0.971 of the ideal 0.35109 (computed).
fn a_worked_example_of_an_orifice_is_met() -> Vec<Row> {
    let ideal = Restriction::ideal(250e-6).flow(6e5, 2.8e5).kg_s * (293.15f64 / 298.15).sqrt();
    let at = "6 to 2.8 bar at 25 degC through 250 mm2";
    let row = Row::new("Air through an orifice", at, &[ORIFICE_EXAMPLE, ISENTROPIC]).unit("kg/s");
    vec![
        row.clone().because("three figures; coefficient 0.971, which gives the printed flow").with(
            0.971 * ideal,
            0.341,
            Share(1e-3),
        ),
        row.computed().because("ideal, no coefficient").with(ideal, 0.351_09, Share(1e-4)),
    ]
}

/// Source: isentropic flow (first) and the ellipse of ISO 6358 with b 0.528 (second), computed: shares of
/// choked flow over the pressure ratio. They differ by less than 0.4 %.
fn the_ellipse_follows_isentropic_flow() -> Vec<Row> {
    let at = "pressure ratio 0.6 to 0.99";
    let mut by_ellipse = Row::new("Share of choked flow, b 0.528", at, &[ISO_6358])
        .computed()
        .because("five figures");
    let mut by_gas = Row::new("Share of choked flow, ideal hole", at, &[ISENTROPIC])
        .computed()
        .because("the standard's ellipse stands for the ideal gas");
    for (ratio, isentropic, ellipse) in CHOKED_SHARES {
        let share =
            |part: Restriction| part.flow(1e5, ratio * 1e5).kg_s / part.flow(1e5, 0.1e5).kg_s;
        by_ellipse.near(share(part(1.0, 0.528)), ellipse, Share(2e-5));
        by_gas.near(share(Restriction::ideal(1e-6)), isentropic, Share(0.004));
        let gas = |r: f64| (r.powf(2.0 / 1.4) - r.powf(2.4 / 1.4)).sqrt();
        assert_relative_eq!(gas(ratio) / gas(0.528_28), isentropic, max_relative = 2e-5);
    }
    vec![by_ellipse, by_gas]
}

/// Source: compressible flow table of a textbook (ideal gas, 1.4): pressure over total pressure and section over critical
/// section at Mach 0.15 to 0.30; their inverse is the share of choked flow.
fn a_textbook_table_of_compressible_flow_is_met() -> Vec<Row> {
    let at = "pressure ratio 0.94 to 0.98, Mach 0.15 to 0.30";
    let mut row = Row::new("Share of choked flow, ideal hole", at, &[ISENTROPIC_TABLE])
        .because("the standard's ellipse stands for the ideal gas; four decimals");
    let hole = Restriction::ideal(1e-6);
    let choked = hole.flow(1e5, 0.1e5).kg_s;
    for (ratio, section) in [(0.9844, 3.9103), (0.9725, 2.9630), (0.9575, 2.4027), (0.9395, 2.0351)]
    {
        row.near(hole.flow(1e5, ratio * 1e5).kg_s / choked, 1.0 / section, Share(0.006));
    }
    vec![row]
}

/// Source: table of compressor handbooks, free air through holes with a coefficient of 1, by adiabatic flow up to 15 psi
/// gauge and by S. A. Moss's formula (1906) above; 14.7 psi, 70 degF, 0.07494 lb/ft3 (`air_through_holes.csv`).
fn a_handbook_table_of_air_through_holes_is_met() -> Vec<Row> {
    let at = "holes of 1/32 to 1 in, 1 to 125 psi gauge into the open";
    let mut row = Row::new("Free air through a hole", at, &[MOSS])
        .unit("ft3/min")
        .because("three printed figures, a rounded constant above 15 psi");
    for published in columns("air_through_holes.csv") {
        let (inches, psi) = (number(&published, "diameter_in"), number(&published, "gauge_psi"));
        let got = free_air_of_hole(inches, psi);
        row.near(got, number(&published, "free_air_ft3_min"), Share(0.01));
    }
    vec![row]
}

/// Free air of 14.7 psi and 70 degF through an ideal hole into the atmosphere, ft3/min.
pub(crate) fn free_air_of_hole(diameter_in: f64, gauge_psi: f64) -> f64 {
    let (psi, atmosphere_psi, kg_of_cubic_foot) = (6894.757, 14.7, 0.07494 * 0.453_592_37);
    let hole = Restriction::ideal(PI / 4.0 * (0.0254 * diameter_in).powi(2));
    let flow = hole.flow((atmosphere_psi + gauge_psi) * psi, atmosphere_psi * psi).kg_s;
    // Air of 70 degF passes a hole slower than that of 20 degC, with the root of its temperature.
    flow * (293.15f64 / 294.26).sqrt() * 60.0 / kg_of_cubic_foot
}

/// Pressure ratio, and share of choked flow by isentropic flow and by the ellipse.
pub(crate) const CHOKED_SHARES: [(f64, f64, f64); 5] = [
    (0.6, 0.98859, 0.98830),
    (0.8, 0.81880, 0.81726),
    (0.9, 0.61715, 0.61550),
    (0.95, 0.44929, 0.44793),
    (0.99, 0.20543, 0.20475),
];

/// Source: isothermal flow in a line, G^2 = (p1^2 - p2^2) / (R T (f L/D + K + 2 ln(p1/p2))), computed for 12 m
/// of 25 mm, f 0.025, K 2, to the atmosphere: kg/(m2 s), kg/s, and velocity at the end.
fn air_through_an_empty_boom_tube_matches_the_computed_table() -> Vec<Row> {
    let of = |quantity: &'static str| {
        let at = "12 m of 25 mm, 1.05 to 1.5 bar into the open";
        Row::new(quantity, at, &[GAS_LINE]).computed()
    };
    let mut fluxes = of("Air through an empty line").unit("kg/(s m2)").because("five figures");
    let mut flows = of("Air through an empty line").unit("kg/s").because("four figures");
    let mut ends = of("Velocity of air at the end").unit("m/s").because("three figures");
    let table = [
        (105e3, 25.305, 0.01242, 21.0),
        (120e3, 58.529, 0.02873, 48.6),
        (150e3, 99.161, 0.04868, 82.4),
    ];
    for (upstream, flux, mass_flow, velocity) in table {
        let got = mass_flux(upstream, 101_325.0, 0.025 * 12.0 / 0.025 + 2.0);
        fluxes.near(got, flux, Share(1e-4));
        flows.near(got * PI / 4.0 * 0.025f64.powi(2), mass_flow, Share(0.002));
        ends.near(got * PRESSURE_OVER_DENSITY_J_KG / 101_325.0, velocity, Share(0.002));
    }
    vec![fluxes, flows, ends]
}

/// Source: gas dynamics: at constant temperature flow in a line chokes at the velocity sqrt(R T).
fn air_in_a_line_leaves_no_faster_than_its_isothermal_velocity_of_sound() -> Vec<Row> {
    let at = "5 bar into vacuum, lines of resistance 0.5 to 200";
    let mut row = Row::new("Choked air in a line, over that of its end", at, &[GAS_VELOCITY])
        .computed()
        .because("velocity at the end is the root of R T");
    for resistance in [0.5, 14.0, 200.0] {
        let choked = mass_flux(5e5, 1.0, resistance);
        let outlet = choked * PRESSURE_OVER_DENSITY_J_KG.sqrt();
        assert!(outlet < 5e5);
        row.near(mass_flux(5e5, outlet, resistance) / choked, 1.0, Share(1e-9));
        assert!(mass_flux(5e5, 1.1 * outlet, resistance) < choked);
    }
    vec![row]
}

/// Source: conversion used by irrigators, cubic feet a minute = gallons a minute / 7.5: 7.48 gal are a cubic
/// foot, so the rule asks for as much air as water, by volume.
#[test]
fn the_irrigators_rule_replaces_water_by_as_much_air() {
    assert_relative_eq!(7.5 * GPM, FOOT.powi(3) / 60.0, max_relative = 0.003);
}

validated! {
    AirFlow:
        a_valve_passes_the_published_mass_flow,
        a_valve_loses_the_published_pressure,
        an_ideal_hole_has_the_conductance_of_its_area,
        a_worked_example_of_an_orifice_is_met,
        the_ellipse_follows_isentropic_flow,
        a_textbook_table_of_compressible_flow_is_met,
        a_handbook_table_of_air_through_holes_is_met,
        air_through_an_empty_boom_tube_matches_the_computed_table,
        air_in_a_line_leaves_no_faster_than_its_isothermal_velocity_of_sound;
}

fn any_part() -> impl Strategy<Value = Restriction> {
    (0.01f64..50.0, 0.0f64..0.9).prop_map(|(c, b)| part(c, b))
}

proptest! {
    #[test]
    fn the_inverse_undoes_the_law(part in any_part(), downstream in 5e4f64..1e6, ratio in 0.01f64..1.0) {
        let upstream = downstream / ratio;
        let flow = part.flow(upstream, downstream);
        let back = part.upstream(flow.kg_s, downstream);
        prop_assert!((back.pa / upstream - 1.0).abs() < 1e-9);
        prop_assert!((back.slope_pa_s_kg * flow.by_upstream - 1.0).abs() < 1e-6);
    }

    #[test]
    fn the_law_undoes_the_inverse(part in any_part(), downstream in 5e4f64..1e6, share in 0.0f64..3.0) {
        let wanted = share * part.flow(downstream / 0.5, downstream).kg_s;
        let upstream = part.upstream(wanted, downstream).pa;
        prop_assert!(upstream >= downstream);
        let got = part.flow(upstream, downstream).kg_s;
        prop_assert!((got - wanted).abs() <= 1e-8 * part.flow(upstream, 1.0).kg_s);
    }

    #[test]
    fn flow_is_finite_monotone_and_the_same_both_ways(
        part in any_part(), one in 1e4f64..1e6, other in 1e4f64..1e6, step in 1.0f64..1e4,
    ) {
        let flow = part.flow(one, other);
        prop_assert!(flow.kg_s.is_finite() && flow.kg_s * (one - other) >= 0.0);
        prop_assert!(flow.by_upstream >= 0.0 && flow.by_downstream <= 0.0);
        prop_assert!(part.flow(one, other + step).kg_s <= flow.kg_s);
        prop_assert!(part.flow(one + step, other).kg_s >= flow.kg_s);
        prop_assert_eq!(part.flow(other, one).kg_s, -flow.kg_s);
    }

    #[test]
    fn derivatives_match_central_differences(
        part in any_part(), upstream in 1e5f64..1e6, ratio in 0.05f64..1.5,
    ) {
        let downstream = ratio * upstream;
        let d = 1e-6 * upstream;
        // Differences across a change of branch would mix two slopes.
        let edges = [part.critical_ratio, 0.999, 1.0, 1.0 / 0.999, 1.0 / part.critical_ratio];
        prop_assume!(edges.iter().all(|edge| (ratio - edge).abs() > 1e-5));
        let flow = part.flow(upstream, downstream);
        let by_downstream =
            (part.flow(upstream, downstream + d).kg_s - part.flow(upstream, downstream - d).kg_s) / (2.0 * d);
        let by_upstream =
            (part.flow(upstream + d, downstream).kg_s - part.flow(upstream - d, downstream).kg_s) / (2.0 * d);
        let scale = part.flow(upstream, 1.0).kg_s / upstream;
        prop_assert!((flow.by_downstream - by_downstream).abs() < 1e-4 * scale);
        prop_assert!((flow.by_upstream - by_upstream).abs() < 1e-4 * scale);
    }

    #[test]
    fn flow_has_no_jump_where_branches_meet(part in any_part(), upstream in 1e5f64..1e6) {
        let scale = part.flow(upstream, 1.0).kg_s;
        for edge in [part.critical_ratio.max(0.01), 0.999, 1.0] {
            let at = |ratio: f64| part.flow(upstream, ratio * upstream).kg_s;
            prop_assert!((at(edge - 1e-10) - at(edge + 1e-10)).abs() < 1e-6 * scale);
        }
    }

    #[test]
    fn more_pressure_drives_more_air_through_a_line(
        upstream in 1.02e5f64..1e6, resistance in 0.1f64..1e3, more in 1.001f64..2.0,
    ) {
        let flux = mass_flux(upstream, 101_325.0, resistance);
        prop_assert!(flux > 0.0 && flux.is_finite());
        prop_assert!(mass_flux(upstream * more, 101_325.0, resistance) > flux);
        prop_assert!(mass_flux(upstream, 101_325.0, resistance * more) < flux);
    }
}
