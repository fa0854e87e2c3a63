//! What holds liquid in the low spots of a line, and what sweeps it out.

use crate::by_hand;
use crate::support::{FOOT, liquid};
use crate::validation::sources::{
    CORROSION_HANDBOOK, LUBRICATION, TURNER_1969, WALLIS_1969, WEDGE,
};
use crate::validation::{By, Row, Share, validated};
use proptest::prelude::*;
use sim_core::two_phase::{
    KUTATELADZE, Layer, LayerLaw, carried_share, carry_limit, critical_gas_flux,
    kutateladze_gas_flux, seal_volume, slope_rule_gas_flux, wallis_gas_flux,
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
/// Practice*, ch. 12, its factor 0.35 up to 0.5 degrees and 0.56 from 2 degrees on from memory; R. G. Turner and others
/// (1969), Kutateladze number 3.2, from memory. Velocities computed apart for water and air of 1.2 kg/m3, gravity
/// 9.81 m/s2, to one decimal or four figures. In practice each is good to 30 %.
fn critical_velocities_match_the_table_of_bores_and_slopes() -> Vec<Row> {
    let of = |quantity: &'static str, at: &'static str, sources, why: &'static str| {
        Row::new(quantity, at, sources).unit("m/s").remembered().because(why)
    };
    let at = "12.7 to 50 mm, air at the atmosphere";
    let why = "computed to one decimal; good to 30 % in practice";
    let mut upright_row = of("Air that lifts water in an upright line", at, &[WALLIS_1969], why);
    let at = "12.7 to 50 mm, 0.5 to 30 degrees";
    let why = "computed to one decimal; the rule comes from wider lines, so good to 30 %";
    let mut slope_row = of("Air that sweeps water up a slope", at, &[CORROSION_HANDBOOK], why);
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
    let at = "air of 1.2, 2.4, 3.6 kg/m3";
    let why = "computed to four figures";
    let mut carries = of("Air that carries drops in a wide upright line", at, &[TURNER_1969], why);
    for (density, expected) in [(1.2, 15.09), (2.4, 10.67), (3.6, 8.71)] {
        let got = kutateladze_gas_flux(KUTATELADZE, 0.0728, WATER, density);
        carries.near(got, expected, Share(1e-3));
    }
    vec![upright_row, slope_row, carries]
}

/// Source: the slope rule and Wallis's velocity cross at sin = 0.56, 34 degrees.
#[test]
fn beyond_34_degrees_a_leg_counts_as_upright() {
    let upright = wallis_gas_flux(1.0, 0.025, WATER, AIR);
    assert!(critical_gas_flux(0.025, sin(33.5), WATER, AIR) < upright);
    assert_eq!(critical_gas_flux(0.025, sin(34.5), WATER, AIR), upright);
}

/// Common practice, no source: 15 to 20 cubic feet of free air a minute blow out lines of 1 inch, whose bore is 26.6 mm.
/// A quarter of it carries no water up a riser.
#[test]
fn the_irrigators_rule_lies_about_the_velocity_that_lifts_water() {
    let speed = |cubic_feet_a_minute: f64| {
        cubic_feet_a_minute * FOOT.powi(3) / 60.0 / (PI / 4.0 * 0.0266f64.powi(2))
    };
    let needed = critical_gas_flux(0.0266, 1.0, WATER, AIR);
    assert!(speed(15.0) < needed && needed < speed(20.0));
    assert!(speed(5.0) < 0.5 * needed);
}

/// Source: lubrication theory: a film of thickness H D/4, dragged at its surface by tau = G D/4, flows uphill as long as
/// 3 tau/2 exceeds its weight rho g sin H D/4. At 10 m/s (64.91 Pa/m in 25 mm) that is 0.285 at 2 degrees, 0.057 at 10,
/// 0.0099 upright.
fn holdup_a_slope_carries_matches_lubrication_theory() -> Vec<Row> {
    let at = "25 mm, air at 10 and 15 m/s, 2, 10, 90 degrees";
    let mut row = Row::new("Layer that air carries up a slope", at, &[LUBRICATION])
        .computed()
        .because("the same balance, solved apart");
    for gas_pa_m in [64.91, 131.9] {
        for degrees in [2.0, 10.0, 90.0] {
            // Flow of the film over its cube of thickness, for both: tau h^2/(2 mu) against rho g sin h^3/(3 mu).
            let pull = gas_pa_m * 0.025 / 4.0 / 2.0;
            let thickness = 3.0 * pull / (WATER * 9.806_65 * sin(degrees));
            let got = carry_limit(gas_pa_m, sin(degrees), WATER);
            row.near(got, 4.0 * thickness / 0.025, Share(1e-9));
        }
    }
    vec![row]
}

#[test]
fn air_near_the_critical_velocity_carries_a_share_without_a_jump() {
    let shares = [0.0, 0.69, 0.85, 1.0, 1.15, 1.31, 9.0].map(|j| carried_share(8.0 * j, 8.0));
    assert_eq!((shares[0], shares[1], shares[5], shares[6]), (0.0, 0.0, 1.0, 1.0));
    assert!((shares[3] - 0.5).abs() < 1e-12 && shares[2] < 0.5 && shares[4] > 0.5);
    assert_eq!(carried_share(0.0, 0.0), 1.0);
}

#[test]
fn an_even_film_climbs_below_the_carry_limit_and_runs_down_above() {
    let water = liquid(WATER, 1e-3);
    for degrees in [60.1, 75.0, 90.0] {
        let limit = carry_limit(64.91, sin(degrees), WATER);
        let law = LayerLaw::new(Layer::EvenFilm, 0.025, sin(degrees), &water);
        assert!(law.flux(0.99 * limit, 64.91).flux_m_s > 0.0);
        assert!(law.flux(1.01 * limit, 64.91).flux_m_s < 0.0);
    }
}

/// Source: the wedge under a level surface, summed slice by slice with segments of a circle: full at the low spot, dry
/// where the floor meets the surface. In closed form pi D^3/(8 tan).
fn volumes_that_close_a_low_spot_are_those_of_the_wedge() -> Vec<Row> {
    let at = "12.7 to 25 mm, 1 to 10 degrees, summed in 20 000 slices";
    let mut row = Row::new("Liquid that closes one leg of a low spot", at, &[WEDGE])
        .unit("L")
        .computed()
        .because("the closed form of the same sum");
    let slices = 20_000;
    let shares = (0..slices).map(|i| by_hand::segment((f64::from(i) + 0.5) / f64::from(slices)));
    let mean = shares.sum::<f64>() / f64::from(slices);
    for bore in [0.0127f64, 0.020, 0.025] {
        for degrees in [1.0f64, 2.0, 5.0, 10.0] {
            let length = bore / degrees.to_radians().tan();
            let litres = 1e3 * mean * PI / 4.0 * bore * bore * length;
            row.near(1e3 * seal_volume(bore, sin(degrees)), litres, Share(1e-7));
        }
    }
    vec![row]
}

validated! {
    LowSpots:
        critical_velocities_match_the_table_of_bores_and_slopes,
        holdup_a_slope_carries_matches_lubrication_theory,
        volumes_that_close_a_low_spot_are_those_of_the_wedge;
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
