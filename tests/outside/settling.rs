//! Settling of particles: how fast, what stays suspended, what velocity keeps it moving.

use crate::support::{G, columns, liquid, number, reference_water};
use crate::validation::sources::{
    BLASIUS, CIRCLES, FLUIDS, OROSKAR_TURIAN, RICHARDSON_ZAKI, STOKES, THOMAS,
};
use crate::validation::{By, Row, Share, validated};
use proptest::prelude::*;
use sim_core::fluids::{
    HINDRANCE_EXPONENT, Liquid, Particles, hindrance, still_suspended_in_bore,
    still_suspended_in_depth, water,
};

/// Gravity the computed values of this file were made with, m/s2; their velocities are 0.034 % above ours.
const ROUNDED_G: f64 = 9.81;

/// Particles of a diameter in um.
fn particles(diameter_um: f64, density_kg_m3: f64, share: f64) -> Particles {
    Particles { diameter_m: diameter_um * 1e-6, density_kg_m3, share }
}

/// The water of the computed values: 20 degC, rounded.
fn rounded_water() -> Liquid {
    liquid(998.2, 1.0016e-3)
}

/// Source: Stokes (1851), computed apart with gravity 9.81 m/s2 (`settling_reference.csv`). Velocities are
/// given to 7 digits, Reynolds numbers to 4, times to 0.01 s.
fn stokes_velocities_agree_with_the_table() -> Vec<Row> {
    let of = |quantity: &'static str, why: &'static str| {
        let at = "1 to 100 um, 1200 to 2600 kg/m3, in water";
        Row::new(quantity, at, &[STOKES]).computed().because(why)
    };
    let mut velocities = of("Settling velocity", "seven figures").unit("m/s");
    let mut numbers = of("Particle Reynolds number", "four figures");
    let mut times = of("Time to fall 20 mm", "two decimals").unit("s");
    let gravity = G / ROUNDED_G;
    for row in columns("settling_reference.csv") {
        let of = |column: &str| number(&row, column);
        let solid = particles(of("particle_diameter_um"), of("particle_density_kg_m3"), 0.0);
        let liquid = liquid(of("liquid_density_kg_m3"), of("dynamic_viscosity_pa_s"));
        let velocity = solid.stokes_velocity(&liquid);
        velocities.near(velocity, gravity * of("stokes_velocity_m_s"), Share(1e-6));
        let reynolds = solid.particle_reynolds(&liquid);
        numbers.near(reynolds, gravity * of("particle_reynolds"), Share(6e-4));
        let time = of("time_to_fall_20_mm_s") / gravity;
        times.near(0.02 / velocity, time, By(0.006 + 1e-6 * time));
        // When the time is up, nothing hangs in a bore as wide as the fall.
        assert!(still_suspended_in_bore(velocity, 1.001 * time, 0.02) == 0.0);
        assert!(still_suspended_in_bore(velocity, 0.99 * time, 0.02) > 0.0);
    }
    vec![velocities, numbers, times]
}

/// Source: computed apart, water at 20 degC, gravity 9.81 m/s2; minutes to fall 20 mm.
#[test]
fn common_sizes_fall_20_mm_within_minutes_to_an_hour() {
    for (diameter_um, density, minutes) in
        [(10.0, 1400.0, 15.2), (5.0, 1400.0, 61.0), (10.0, 2600.0, 3.8)]
    {
        let velocity = particles(diameter_um, density, 0.0).stokes_velocity(&rounded_water());
        assert!((0.02 / velocity / 60.0 - minutes).abs() < 0.06, "{diameter_um} um: {velocity}");
    }
}

/// Source: velocities by a drag law for all Reynolds numbers, computed apart with an open library: 2.1527e-3 m/s
/// for 50 um and 2.382e-2 m/s for 200 um of 2600 kg/m3. Oseen's first correction (1910, from memory), 1 + 3 Re/16,
/// would take 2.0 % instead of 1.2 % off the former.
fn stokes_is_too_fast_where_its_reynolds_number_says_so() -> Vec<Row> {
    let water = rounded_water();
    let of = |at: &'static str| {
        let row = Row::new("Settling velocity, by a full drag law", at, &[FLUIDS]);
        row.unit("m/s").computed()
    };
    let mut slow = of("50 um, 2600 kg/m3, particle Reynolds number 0.11")
        .differs_because("ours is Stokes's law, near its end");
    let mut fast = of("200 um, 2600 kg/m3, particle Reynolds number 7")
        .differs_because("ours is Stokes's law, beyond its end, which is said where it is used");
    let velocity = |diameter_um: f64| particles(diameter_um, 2600.0, 0.0).stokes_velocity(&water);
    slow.near(velocity(50.0), 2.1527e-3, Share(0.013));
    fast.near(velocity(200.0), 2.382e-2, Share(0.47));
    vec![slow, fast]
}

/// Source: J. F. Richardson & W. N. Zaki, Trans. IChemE 32:35 (1954): (1 - C)^n, n 4.65 at a low particle Reynolds number;
/// a suspension of 30 % that settles at 4.44 um/s is of particles that alone settle at 23.3 um/s.
fn hindered_settling_follows_richardson_and_zaki() -> Vec<Row> {
    let at = "30 % of solids settle at 4.44 um/s, exponent 4.65";
    let row = Row::new("Velocity of one particle alone", at, &[RICHARDSON_ZAKI]).unit("m/s");
    let row = row.computed().within_source("half a unit of the third figure");
    vec![row.with(4.44e-6 / hindrance(0.3, HINDRANCE_EXPONENT), 23.3e-6, By(0.05e-6))]
}

/// Source: overlap of two equal circles (plane geometry), computed apart: share against way fallen in bores.
fn share_suspended_in_a_bore_agrees_with_the_overlap_of_circles() -> Vec<Row> {
    let at = "fallen by 0.1 to 1 bore";
    let mut row = Row::new("Share still suspended in a round line", at, &[CIRCLES])
        .computed()
        .within_source("half a unit of the fifth decimal");
    for (bores, share) in [
        (0.1, 0.87289),
        (0.25, 0.68504),
        (0.40397, 0.5),
        (0.5, 0.39100),
        (0.75, 0.14429),
        (0.80538, 0.1),
        (1.0, 0.0),
    ] {
        let got = still_suspended_in_bore(bores * 2e-4, 100.0, 0.02);
        row.near(got, share, By(5e-6));
    }
    vec![row]
}

/// Source: the same by counting: the bore cut into upright columns, each of which clears from its top.
#[test]
fn share_suspended_in_a_bore_agrees_with_a_count_of_columns() {
    let count = 20_000;
    let heights: Vec<f64> = (0..count)
        .map(|i| (f64::from(i) + 0.5) / f64::from(count) * 2.0 - 1.0)
        .map(|place| (1.0 - place * place).sqrt())
        .collect();
    let whole: f64 = heights.iter().sum();
    for step in 0..=40 {
        let bores = f64::from(step) / 40.0;
        let left: f64 = heights.iter().map(|height| (height - bores).max(0.0)).sum();
        let got = still_suspended_in_bore(bores * 1e-4, 200.0, 0.02);
        assert!((got - left / whole).abs() < 1e-5, "{bores}: {got} {}", left / whole);
    }
}

/// Source: CIPAC MT 184: 250 mL are in a cylinder, the top nine tenths are drawn off. Column 0.205 m, 30 min (from
/// memory), and the velocities and times computed apart: what keeps 60, 80, 90 % suspended clears a bore of 20 mm in
/// 8.1, 16.3, 32.5 min.
#[test]
fn a_product_that_passes_the_cylinder_test_may_clear_a_bore_in_minutes() {
    for (suspended, velocity, minutes) in
        [(0.6, 4.10e-5, 8.1), (0.8, 2.05e-5, 16.3), (0.9, 1.025e-5, 32.5)]
    {
        let got: f64 = still_suspended_in_depth(velocity, 1800.0, 0.9 * 0.205);
        assert!((got - suspended).abs() < 1e-9, "{suspended}: {got}");
        assert!(still_suspended_in_bore(velocity, 60.0 * (minutes - 0.1), 0.02) > 0.0);
        assert!(still_suspended_in_bore(velocity, 60.0 * (minutes + 0.1), 0.02) == 0.0);
    }
}

/// Source: Oroskar & Turian, AIChE J. 26:550 (1980), formula as open code restates it, computed apart: a bore of 20 mm, 0.5 %
/// of solids of 10, 50 and 100 um, water at 20 degC, to three digits.
fn pick_up_velocity_agrees_with_the_table() -> Vec<Row> {
    let at = "20 mm, 0.5 % of solids of 10 to 100 um, 1400 and 2600 kg/m3";
    let mut row = Row::new("Velocity that keeps coarse solids moving", at, &[OROSKAR_TURIAN])
        .unit("m/s")
        .computed()
        .within_source("half a unit of the third decimal");
    for (density, expected) in [(1400.0, [0.141, 0.184, 0.206]), (2600.0, [0.299, 0.391, 0.439])] {
        for (diameter_um, expected) in [10.0, 50.0, 100.0].into_iter().zip(expected) {
            let solid = particles(diameter_um, density, 0.005);
            let got = solid.coarse_pick_up_velocity(&rounded_water(), 0.02);
            row.near(got, expected, By(5e-4));
        }
    }
    vec![row]
}

/// Source: the same formula, computed apart for coarse sand: 0.5 mm, bore 0.1 m, 10 %, 2.65 times as
/// dense as the liquid: 1.8917 m/s with gravity 9.81 m/s2 and water at 20 degC.
fn pick_up_velocity_of_coarse_sand() -> Vec<Row> {
    let got = particles(500.0, 2.65 * 998.2, 0.1).coarse_pick_up_velocity(&rounded_water(), 0.1);
    // Gravity enters with the power 0.5 + 0.045.
    let expected = 1.8917 * (G / ROUNDED_G).powf(0.545);
    let at = "sand of 0.5 mm, 10 %, in 0.1 m";
    let row =
        Row::new("Velocity that keeps coarse solids moving", at, &[OROSKAR_TURIAN]).unit("m/s");
    let row = row.computed().within_source("half a unit of the fifth figure");
    vec![row.with(got, expected, Share(3e-5))]
}

/// Source: A. D. Thomas, Int. J. Multiphase Flow 5:113 (1979), from memory: a friction velocity of 1.1 (g nu S)^(1/3), turned
/// into a mean velocity here by H. Blasius (1913), u* = u sqrt(f/8); and two figures by an independent reader, 22 mm of water
/// at 15 degC.
fn fine_solids_need_the_velocity_of_the_sublayer() -> Vec<Row> {
    let water = water(15.0);
    let nu = water.viscosity_pa_s / water.density_kg_m3;
    let at = "12 to 50 mm, S 0.05 to 1.6, water at 15 degC";
    let mut row = Row::new("Velocity that keeps fine solids moving", at, &[THOMAS, BLASIUS])
        .unit("m/s")
        .remembered()
        .differs_because("his formula joins smooth lines of many sizes by one power");
    let mut read =
        Row::new("Velocity that keeps fine solids moving", "22 mm, S 0.4 and 1.6", &[THOMAS])
            .unit("m/s")
            .remembered()
            .because("two figures of the same formula");
    let needed = |excess: f64, bore: f64| {
        let density = (1.0 + excess) * water.density_kg_m3;
        particles(10.0, density, 0.005).fine_pick_up_velocity(&water, bore)
    };
    for bore in [0.012, 0.022, 0.05] {
        for excess in [0.05, 0.4, 1.6] {
            let shear = 1.1 * (G * nu * excess).cbrt();
            let mean =
                (shear * (8.0f64 / 0.3164).sqrt() * (bore / nu).powf(0.125)).powf(1.0 / 0.875);
            row.near(needed(excess, bore), mean, Share(0.12));
        }
    }
    for (excess, expected) in [(0.4, 0.28), (1.6, 0.47)] {
        read.near(needed(excess, 0.022), expected, By(0.006));
    }
    vec![row, read]
}

/// The larger of both laws counts: fine solids by the second, coarse sand by the first.
#[test]
fn the_larger_velocity_counts() {
    let water = rounded_water();
    let fine = particles(10.0, 1400.0, 0.005);
    assert_eq!(fine.pick_up_velocity(&water, 0.02), fine.fine_pick_up_velocity(&water, 0.02));
    let sand = particles(500.0, 2650.0, 0.1);
    assert_eq!(sand.pick_up_velocity(&water, 0.1), sand.coarse_pick_up_velocity(&water, 0.1));
}

validated! {
    Settling:
        stokes_velocities_agree_with_the_table,
        stokes_is_too_fast_where_its_reynolds_number_says_so,
        hindered_settling_follows_richardson_and_zaki,
        share_suspended_in_a_bore_agrees_with_the_overlap_of_circles,
        pick_up_velocity_agrees_with_the_table,
        fine_solids_need_the_velocity_of_the_sublayer,
        pick_up_velocity_of_coarse_sand;
}

fn solids() -> impl Strategy<Value = Particles> {
    (0.5f64..300.0, 1000.0f64..5000.0, 0.0f64..0.4)
        .prop_map(|(diameter_um, density, share)| particles(diameter_um, density, share))
}

proptest! {
    #[test]
    fn shares_stay_within_bounds_and_fall_with_time(
        velocity in -1e-2f64..1e-2, time in 0.0f64..1e5, more in 0.0f64..1e4, height in 1e-3f64..2.0,
    ) {
        for still in [still_suspended_in_bore, still_suspended_in_depth] {
            let (now, later) = (still(velocity, time, height), still(velocity, time + more, height));
            prop_assert!((0.0..=1.0).contains(&now) && (0.0..=1.0).contains(&later));
            prop_assert!(later <= now + 1e-12, "{} {}", now, later);
        }
    }

    #[test]
    fn shares_depend_on_the_way_fallen_alone(fallen in 0.0f64..1.2, height in 1e-3f64..2.0) {
        for still in [still_suspended_in_bore, still_suspended_in_depth] {
            let (slow, fast) = (still(fallen * 1e-5, 1e3, 1e-2), still(fallen * height, 1.0, height));
            prop_assert!((slow - fast).abs() < 1e-7, "{} {}", slow, fast);
        }
    }

    #[test]
    fn a_round_bore_clears_sooner_than_a_tank_of_its_height(fallen in 0.0f64..1.2) {
        let bore = still_suspended_in_bore(fallen, 1.0, 1.0);
        prop_assert!(bore <= still_suspended_in_depth(fallen, 1.0, 1.0) + 1e-12);
    }

    #[test]
    fn particles_settle_slower_among_others_than_alone(solid in solids(), more in 1e-3f64..0.1) {
        let water = reference_water();
        let hindered = solid.hindered_velocity(&water);
        prop_assert!(hindered > 0.0 && hindered <= solid.stokes_velocity(&water));
        let crowded = Particles { share: solid.share + more, ..solid };
        prop_assert!(crowded.hindered_velocity(&water) < hindered);
    }

    #[test]
    fn more_velocity_picks_up_the_denser_and_coarser_and_in_the_wider_bore(
        solid in solids(), bore in 0.005f64..0.06, times in 1.01f64..2.0,
    ) {
        let water = reference_water();
        let solid = Particles { share: solid.share.max(1e-4), ..solid };
        let least = solid.pick_up_velocity(&water, bore);
        prop_assert!(least.is_finite() && least > 0.0);
        let denser = Particles { density_kg_m3: times * solid.density_kg_m3, ..solid };
        let coarser = Particles { diameter_m: times * solid.diameter_m, ..solid };
        prop_assert!(denser.pick_up_velocity(&water, bore) > least);
        // Fine ones need the same whatever their size.
        prop_assert!(coarser.pick_up_velocity(&water, bore) >= least);
        let coarse = solid.coarse_pick_up_velocity(&water, bore);
        prop_assert!(coarser.coarse_pick_up_velocity(&water, bore) > coarse);
        prop_assert!(solid.pick_up_velocity(&water, times * bore) > least);
    }
}
