//! Air through valves, holes and empty lines.

use crate::by_hand;
use crate::support::{FOOT, GPM, absolute};
use crate::validation::sources::{AERONAUTICAL_DATA, ESPOSITO, ISENTROPIC, ISO_6358};
use crate::validation::{By, Row, Share, validated};
use approx::assert_relative_eq;
use proptest::prelude::*;
use sim_core::air::{AirRestriction, mass_flux};

/// Pound a square inch, Pa.
const PSI: f64 = 6894.757;

/// Degrees Fahrenheit as kelvin.
fn kelvin(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8 + 273.15
}

pub(crate) fn part(dm3_s_bar: f64, critical_ratio: f64) -> AirRestriction {
    AirRestriction { sonic_conductance_m3_s_pa: dm3_s_bar * 1e-8, critical_ratio }
}

/// Source: the flow functions of ISO 6358-1, written out in `by_hand`.
fn a_valve_passes_what_the_standard_says() -> Vec<Row> {
    let at = "1 dm3/(s bar), b 0.2 to 0.5, from 7 bar to 1 to 6.9 bar";
    let mut row = Row::new("Air through a valve", at, &[ISO_6358])
        .unit("kg/s")
        .computed()
        .because("the same formula, written out apart");
    for b in [0.2, 0.35, 0.5] {
        for downstream in [1e5, 3e5, 5e5, 6e5, 6.9e5] {
            let expected = by_hand::iso_6358(1e-8, b, 7e5, downstream);
            row.near(
                part(1.0, b).flow(absolute(7e5), absolute(downstream)).kg_s,
                expected,
                Share(1e-9),
            );
        }
    }
    vec![row]
}

/// Opening through which water of 999 kg/m3 flows as through a valve of `cv`, US gallons a minute at 1 psi, m2.
fn opening_of(cv: f64) -> f64 {
    cv * GPM / (2.0 * PSI / 999.0).sqrt()
}

/// Air of 80 degF through the ideal hole of a valve of `cv`, standard cubic feet a minute of 14.7 psi and 68 degF.
fn standard_air(cv: f64, upstream_psi: f64, downstream_psi: f64) -> f64 {
    let hole = AirRestriction::ideal(opening_of(cv));
    let flow = hole.flow(absolute(upstream_psi * PSI), absolute(downstream_psi * PSI)).kg_s;
    let colder = (293.15f64 / kelvin(80.0)).sqrt();
    flow * colder * 60.0 / (14.7 * PSI / by_hand::RT * FOOT.powi(3))
}

/// Source: A. Esposito, *Fluid Power with Applications*, examples 13-10 and 13-11: a valve of Cv 7.4 passes at most 341
/// scfm from 80 psig and 80 degF; 50 scfm at 100 psig behind, with 12 psi lost, take Cv 1.38. Here a valve is the ideal
/// hole that passes as much water, as tips are. That a scfm is of 68 degF is from memory.
fn a_valve_rated_by_water_passes_the_air_of_a_textbook() -> Vec<Row> {
    let why = "the book's formula takes a rounded constant; ours is the ideal hole that passes as much water";
    let of = |quantity: &'static str, at: &'static str| {
        Row::new(quantity, at, &[ESPOSITO]).differs_because(why)
    };
    let most = of("Most air through a valve", "example 13-10: Cv 7.4, 80 psig, 80 degF");
    let needed =
        of("Cv that a flow of air needs", "example 13-11: 50 scfm, 100 psig behind, 12 psi lost");
    vec![
        most.unit("ft3/min").with(standard_air(7.4, 94.7, 0.53 * 94.7), 341.0, Share(0.015)),
        needed.with(50.0 / standard_air(1.0, 126.7, 114.7), 1.38, Share(0.015)),
    ]
}

/// Source: ideal gas without friction, written out in `by_hand`.
fn an_ideal_hole_has_the_conductance_of_its_area() -> Vec<Row> {
    let hole = AirRestriction::ideal(1e-6);
    assert_relative_eq!(hole.ideal_area_m2(), 1e-6, max_relative = 1e-12);
    let row = Row::new("Sonic conductance of a hole", "1 mm2, ideal", &[ISENTROPIC])
        .unit("dm3/(s bar)")
        .computed()
        .because("the same formula, written out apart");
    let conductance = 1e8 * hole.sonic_conductance_m3_s_pa;
    vec![row.with(conductance, 1e2 * by_hand::conductance_of_area(), Share(1e-9))]
}

/// Source: ideal gas without friction; the product has the ellipse of ISO 6358 instead.
fn the_ellipse_follows_isentropic_flow() -> Vec<Row> {
    let at = "pressure ratio 0.55 to 0.99";
    let mut row = Row::new("Share of choked flow, ideal hole", at, &[ISENTROPIC])
        .computed()
        .because("the standard's ellipse stands for the ideal gas");
    for ratio in RATIOS {
        let share = share_of_choked(AirRestriction::ideal(1e-6), ratio);
        row.near(share, by_hand::isentropic_share(ratio), Share(0.004));
    }
    vec![row]
}

pub(crate) fn share_of_choked(part: AirRestriction, ratio: f64) -> f64 {
    part.flow(absolute(1e5), absolute(ratio * 1e5)).kg_s
        / part.flow(absolute(1e5), absolute(0.1e5)).kg_s
}

/// Pressure ratios at which hole and isentropic flow are compared.
pub(crate) const RATIOS: [f64; 6] = [0.55, 0.6, 0.8, 0.9, 0.95, 0.99];

/// Source: tables A4.1 and A4.2 of a data book, k 1.4: section over critical section at Mach 0.05 to 0.24, whose inverse
/// is the share of choked flow (pressure ratio (1 + M^2/5)^-3.5), and the pressure ratio at Mach 1.
fn a_data_book_of_compressible_flow_is_met() -> Vec<Row> {
    let at = "Mach 0.05 to 0.24, pressure ratio 0.96 to 0.998";
    let mut row = Row::new("Share of choked flow, ideal hole", at, &[AERONAUTICAL_DATA])
        .because("the standard's ellipse stands for the ideal gas");
    let hole = AirRestriction::ideal(1e-6);
    for (mach, section) in
        [(0.05f64, 11.5914), (0.10, 5.8218), (0.15, 3.9103), (0.20, 2.9635), (0.24, 2.4956)]
    {
        let ratio = (1.0 + mach * mach / 5.0).powf(-3.5);
        row.near(share_of_choked(hole, ratio), 1.0 / section, Share(0.004));
    }
    let critical =
        Row::new("Critical pressure ratio of air", "ideal gas, 1.4", &[AERONAUTICAL_DATA])
            .within_source("half a unit of the fourth printed decimal");
    vec![row, critical.with(hole.critical_ratio, 0.5283, By(5e-5))]
}

validated! {
    AirFlow:
        a_valve_passes_what_the_standard_says,
        a_valve_rated_by_water_passes_the_air_of_a_textbook,
        an_ideal_hole_has_the_conductance_of_its_area,
        the_ellipse_follows_isentropic_flow,
        a_data_book_of_compressible_flow_is_met;
}

fn any_part() -> impl Strategy<Value = AirRestriction> {
    (0.01f64..50.0, 0.0f64..0.9).prop_map(|(c, b)| part(c, b))
}

proptest! {
    #[test]
    fn the_inverse_undoes_the_law(part in any_part(), downstream in 5e4f64..1e6, ratio in 0.01f64..1.0) {
        let upstream = downstream / ratio;
        let flow = part.flow(absolute(upstream), absolute(downstream));
        let back = part.upstream(flow.kg_s, absolute(downstream));
        prop_assert!((back.pressure.pa / upstream - 1.0).abs() < 1e-9);
        prop_assert!((back.slope_pa_s_kg * flow.by_upstream - 1.0).abs() < 1e-6);
    }

    #[test]
    fn the_law_undoes_the_inverse(part in any_part(), downstream in 5e4f64..1e6, share in 0.0f64..3.0) {
        let wanted = share * part.flow(absolute(downstream / 0.5), absolute(downstream)).kg_s;
        let upstream = part.upstream(wanted, absolute(downstream)).pressure.pa;
        prop_assert!(upstream >= downstream);
        let got = part.flow(absolute(upstream), absolute(downstream)).kg_s;
        prop_assert!((got - wanted).abs() <= 1e-8 * part.flow(absolute(upstream), absolute(1.0)).kg_s);
    }

    #[test]
    fn flow_is_finite_monotone_and_the_same_both_ways(
        part in any_part(), one in 1e4f64..1e6, other in 1e4f64..1e6, step in 1.0f64..1e4,
    ) {
        let flow = part.flow(absolute(one), absolute(other));
        prop_assert!(flow.kg_s.is_finite() && flow.kg_s * (one - other) >= 0.0);
        prop_assert!(flow.by_upstream >= 0.0 && flow.by_downstream <= 0.0);
        prop_assert!(part.flow(absolute(one), absolute(other + step)).kg_s <= flow.kg_s);
        prop_assert!(part.flow(absolute(one + step), absolute(other)).kg_s >= flow.kg_s);
        prop_assert_eq!(part.flow(absolute(other), absolute(one)).kg_s, -flow.kg_s);
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
        let flow = part.flow(absolute(upstream), absolute(downstream));
        let by_downstream =
            (part.flow(absolute(upstream), absolute(downstream + d)).kg_s - part.flow(absolute(upstream), absolute(downstream - d)).kg_s) / (2.0 * d);
        let by_upstream =
            (part.flow(absolute(upstream + d), absolute(downstream)).kg_s - part.flow(absolute(upstream - d), absolute(downstream)).kg_s) / (2.0 * d);
        let scale = part.flow(absolute(upstream), absolute(1.0)).kg_s / upstream;
        prop_assert!((flow.by_downstream - by_downstream).abs() < 1e-4 * scale);
        prop_assert!((flow.by_upstream - by_upstream).abs() < 1e-4 * scale);
    }

    #[test]
    fn flow_has_no_jump_where_branches_meet(part in any_part(), upstream in 1e5f64..1e6) {
        let scale = part.flow(absolute(upstream), absolute(1.0)).kg_s;
        for edge in [part.critical_ratio.max(0.01), 0.999, 1.0] {
            let at = |ratio: f64| part.flow(absolute(upstream), absolute(ratio * upstream)).kg_s;
            prop_assert!((at(edge - 1e-10) - at(edge + 1e-10)).abs() < 1e-6 * scale);
        }
    }

    #[test]
    fn more_pressure_drives_more_air_through_a_line(
        upstream in 1.02e5f64..1e6, resistance in 0.1f64..1e3, more in 1.001f64..2.0,
    ) {
        let flux = mass_flux(absolute(upstream), absolute(101_325.0), resistance);
        prop_assert!(flux > 0.0 && flux.is_finite());
        prop_assert!(mass_flux(absolute(upstream * more), absolute(101_325.0), resistance) > flux);
        prop_assert!(mass_flux(absolute(upstream), absolute(101_325.0), resistance * more) < flux);
    }
}
