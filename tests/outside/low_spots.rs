//! What holds liquid in the low spots of a line, and what sweeps it out.

use crate::support::{FOOT, liquid};
use crate::validation::sources::{
    BLOW_OUT_RULE, CORROSION_HANDBOOK, LUBRICATION, TURNER_1969, WALLIS_1969, WEDGE,
};
use crate::validation::{By, Row, Share, validated};
use proptest::prelude::*;
use sim_core::two_phase::{
    KUTATELADZE, Layer, LayerLaw, carry_limit, critical_gas_flux, kutateladze_gas_flux,
    seal_volume, slope_rule_gas_flux, wallis_gas_flux,
};
use std::f64::consts::PI;

/// Density of water and of air at about the atmosphere, kg/m3, in the computed figures.
const WATER: f64 = 998.2;
const AIR: f64 = 1.2;

/// Sine of a slope in degrees.
fn sin(degrees: f64) -> f64 {
    degrees.to_radians().sin()
}

/// Source: G. B. Wallis (1969), j* = 1, from memory; slope rule of *Corrosion Engineering: Principles and
/// Practice*, ch. 12; velocities computed for water and air of 1.2 kg/m3, gravity 9.81 m/s2; printed to 0.1 m/s.
fn critical_velocities_match_the_table_of_bores_and_slopes() -> Vec<Row> {
    let at = "12.7 to 50 mm, air at the atmosphere";
    let mut upright_row = Row::new("Air that lifts water in an upright line", at, &[WALLIS_1969])
        .unit("m/s")
        .remembered()
        .because("one decimal; good to 30 % in practice");
    let at = "12.7 to 50 mm, 0.5 to 30 degrees";
    let mut slope_row = Row::new("Air that sweeps water up a slope", at, &[CORROSION_HANDBOOK])
        .unit("m/s")
        .computed()
        .because("one decimal; the rule comes from wider lines, so good to 30 %");
    let table = [
        (0.0127, 10.2, [1.6, 2.5, 4.0, 5.7, 9.6]),
        (0.020, 12.8, [2.0, 3.2, 5.0, 7.1, 12.1]),
        (0.025, 14.3, [2.3, 3.6, 5.6, 7.9, 13.5]),
        (0.032, 16.2, [2.5, 4.0, 6.4, 9.0, 15.3]),
        (0.050, 20.2, [3.2, 5.0, 8.0, 11.2, 19.1]),
    ];
    for (bore, upright, slopes) in table {
        upright_row.near(wallis_gas_flux(1.0, bore, WATER, AIR), upright, By(0.06));
        for (degrees, expected) in [0.5, 2.0, 5.0, 10.0, 30.0].into_iter().zip(slopes) {
            let got = slope_rule_gas_flux(bore, sin(degrees), WATER, AIR);
            slope_row.near(got, expected, By(0.06));
            assert_eq!(critical_gas_flux(bore, sin(degrees), WATER, AIR), got);
        }
        let steep = critical_gas_flux(bore, 1.0, WATER, AIR);
        assert_eq!(steep, wallis_gas_flux(1.0, bore, WATER, AIR));
    }
    vec![upright_row, slope_row]
}

/// Source: the same laws and the Kutateladze number 3.2 of R. G. Turner and others (1969, from memory),
/// computed: 14.27 m/s in 25 mm, 15.1, 10.7 and 8.7 m/s at 1.2, 2.4 and 3.6 kg/m3.
fn upright_lines_turn_liquid_at_the_computed_velocities() -> Vec<Row> {
    let of = |quantity: &'static str, at: &'static str, sources| {
        Row::new(quantity, at, sources).unit("m/s").remembered().because("four figures")
    };
    let lifts = of("Air that lifts water in an upright line", "25 mm", &[WALLIS_1969]).with(
        wallis_gas_flux(1.0, 0.025, WATER, AIR),
        14.27,
        Share(0.005),
    );
    let at = "air of 1.2, 2.4, 3.6 kg/m3";
    let mut carries = of("Air that carries drops in a wide upright line", at, &[TURNER_1969]);
    for (density, expected) in [(1.2, 15.09), (2.4, 10.67), (3.6, 8.71)] {
        let got = kutateladze_gas_flux(KUTATELADZE, 0.0728, WATER, density);
        carries.near(got, expected, Share(0.005));
    }
    vec![lifts, carries]
}

/// Source: the slope rule and Wallis's velocity cross at sin = 0.56, 34 degrees.
#[test]
fn beyond_34_degrees_a_leg_counts_as_upright() {
    let upright = wallis_gas_flux(1.0, 0.025, WATER, AIR);
    assert!(critical_gas_flux(0.025, sin(33.5), WATER, AIR) < upright);
    assert_eq!(critical_gas_flux(0.025, sin(34.5), WATER, AIR), upright);
}

/// Source: practice of blowing out irrigation lines (extension and trade pages): 20 cubic feet of free air a
/// minute clear 1 inch line, whose bore is 26.6 mm. A quarter of that carries no water up a riser.
fn the_irrigators_rule_lies_above_the_velocity_that_lifts_water() -> Vec<Row> {
    let speed = |cubic_feet_a_minute: f64| {
        cubic_feet_a_minute * FOOT.powi(3) / 60.0 / (PI / 4.0 * 0.0266f64.powi(2))
    };
    let needed = critical_gas_flux(0.0266, 1.0, WATER, AIR);
    assert!(speed(20.0) > needed && speed(5.0) < needed);
    let at = "1 in line (26.6 mm); 15 to 20 cubic feet of free air a minute";
    let mut rule = Row::new("Air that lifts water in an upright line", at, &[BLOW_OUT_RULE])
        .unit("m/s")
        .because("a rule of thumb, a range");
    rule.between(needed, speed(15.0), speed(20.0));
    let row = Row::new("Air that lifts water in an upright line", "26.6 mm", &[WALLIS_1969]);
    let row = row.unit("m/s").remembered().because("three figures");
    vec![rule, row.with(needed, 14.7, Share(0.005))]
}

/// Source: V-shaped line of 25 mm with legs of 10 degrees: sources leave it open between 5 m/s, where a pool
/// stays, and 12 m/s, where it goes.
#[test]
fn the_critical_velocity_of_a_v_shaped_line_lies_in_the_band_of_the_sources() {
    assert!((5.0..12.0).contains(&critical_gas_flux(0.025, sin(10.0), WATER, AIR)));
}

/// Source: lubrication theory, computed for 25 mm: at 10 m/s 0.285 at 2 degrees, 0.057 at 10, 0.0099 upright;
/// at 15 m/s 0.579, 0.116, 0.0202 (gradients of the air alone 64.91 and 131.9 Pa/m).
fn holdup_a_slope_carries_matches_lubrication_theory() -> Vec<Row> {
    let at = "25 mm, 10 and 15 m/s, 2, 10, 90 degrees";
    let mut row = Row::new("Layer that air carries up a slope", at, &[LUBRICATION])
        .computed()
        .because("two or three figures");
    for (gas_pa_m, limits) in [(64.91, [0.285, 0.057, 0.0099]), (131.9, [0.579, 0.116, 0.0202])] {
        for (degrees, limit) in [2.0, 10.0, 90.0].into_iter().zip(limits) {
            let got = carry_limit(gas_pa_m, sin(degrees), WATER);
            row.near(got, limit, Share(0.01));
        }
    }
    vec![row]
}

#[test]
fn an_even_film_climbs_below_the_carry_limit_and_runs_down_above() {
    let water = liquid(WATER, 1e-3);
    for degrees in [2.0, 10.0, 90.0] {
        let limit = carry_limit(64.91, sin(degrees), WATER);
        let law = LayerLaw::new(Layer::EvenFilm, 0.025, sin(degrees), &water);
        assert!(law.flux(0.99 * limit, 64.91).flux_m_s > 0.0);
        assert!(law.flux(1.01 * limit, 64.91).flux_m_s < 0.0);
    }
}

/// Source: pi D^3 / (8 tan), computed, litres at 1, 2, 5 and 10 degrees.
fn volumes_that_close_a_low_spot_match_the_table() -> Vec<Row> {
    let of = |at: &'static str, why: &'static str| {
        let row = Row::new("Liquid that closes one leg of a low spot", at, &[WEDGE]).unit("L");
        row.computed().because(why)
    };
    let mut table_row = of("12.7 to 25 mm, 1 to 10 degrees", "three or four figures");
    let table = [
        (0.025, [0.351, 0.1757, 0.0701, 0.0348]),
        (0.020, [0.180, 0.0900, 0.0359, 0.0178]),
        (0.0127, [0.0461, 0.0230, 0.0092, 0.0046]),
    ];
    for (bore, litres) in table {
        for (degrees, litres) in [1.0, 2.0, 5.0, 10.0].into_iter().zip(litres) {
            table_row.near(seal_volume(bore, sin(degrees)) * 1e3, litres, By(6e-4));
        }
    }
    let one = of("25 mm, 2 degrees", "four figures");
    vec![table_row, one.with(seal_volume(0.025, sin(2.0)) * 1e3, 0.1757, Share(0.001))]
}

/// Source: the wedge under a level surface, summed slice by slice with areas of the round line: full at the low
/// spot, dry where the floor meets the surface.
fn volume_that_closes_a_low_spot_is_that_of_the_wedge() -> Vec<Row> {
    let (bore, slope) = (0.025, sin(3.0));
    let length = bore / 3f64.to_radians().tan();
    let slices = 20_000;
    let volume: f64 = (0..slices)
        .map(|i| {
            let depth = 1.0 - (f64::from(i) + 0.5) / f64::from(slices);
            sim_core::two_phase::area_share(depth) * PI / 4.0 * bore * bore * length
                / f64::from(slices)
        })
        .sum();
    let at = "25 mm, 3 degrees, summed in 20 000 slices";
    let row = Row::new("Liquid that closes one leg of a low spot", at, &[WEDGE]).unit("L");
    let row = row.computed().because("the closed form of the same sum");
    vec![row.with(seal_volume(bore, slope) * 1e3, volume * 1e3, Share(1e-6))]
}

validated! {
    LowSpots:
        critical_velocities_match_the_table_of_bores_and_slopes,
        upright_lines_turn_liquid_at_the_computed_velocities,
        the_irrigators_rule_lies_above_the_velocity_that_lifts_water,
        holdup_a_slope_carries_matches_lubrication_theory,
        volumes_that_close_a_low_spot_match_the_table,
        volume_that_closes_a_low_spot_is_that_of_the_wedge;
}

#[test]
fn a_leg_that_does_not_rise_holds_nothing() {
    for slope in [0.0, -0.3] {
        assert_eq!(critical_gas_flux(0.025, slope, WATER, AIR), 0.0);
        assert_eq!(carry_limit(60.0, slope, WATER), f64::INFINITY);
        assert_eq!(seal_volume(0.025, slope), f64::INFINITY);
    }
}

proptest! {
    #[test]
    fn steeper_legs_and_wider_lines_need_more_air(
        bore in 0.005f64..0.1, degrees in 0.01f64..89.0, more in 1.001f64..1.5, air in 1.0f64..12.0,
    ) {
        let needed = |bore, degrees| critical_gas_flux(bore, sin(degrees), WATER, air);
        let here = needed(bore, degrees);
        prop_assert!(here > 0.0 && here.is_finite());
        prop_assert!(needed(bore, f64::min(degrees * more, 90.0)) >= here);
        prop_assert!(needed(bore * more, degrees) > here);
        // Both laws fall as the root of the density of the air, but for buoyancy.
        let denser = critical_gas_flux(bore, sin(degrees), WATER, 2.0 * air);
        prop_assert!((denser * 2f64.sqrt() / here - 1.0).abs() < 0.01);
    }
}
