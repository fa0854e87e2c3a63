//! Compressor, receiver, regulator and valve.

use crate::by_hand;
use crate::support::absolute;
use crate::validation::sources::{FARRELL, ISO_1217, ISO_6358, ODE_SOLVERS};
use crate::validation::{Row, Share, validated};
use approx::assert_relative_eq;
use ode_solvers::{Dop853, System, Vector1};
use proptest::prelude::*;
use sim_core::air::{AirRestriction, Supply, mass_of_free_air};
use sim_core::fluids::{AbsolutePressure, GaugePressure};
use sim_core::scenario::read;
use sim_core::simulation::run;
use std::f64::consts::PI;

/// Area of the hole below, m2.
const AREA_M2: f64 = 0.8 * PI / 4.0 * 0.003 * 0.003;

/// A receiver of 50 L at 8 bar behind a regulator that stands open.
fn receiver() -> Supply {
    Supply {
        receiver_m3: 0.05,
        receiver: absolute(8e5),
        free_air_delivery_m3_s: 0.0,
        cut_out: absolute(8e5),
        regulated: absolute(20e5),
        valve: AirRestriction::ideal(AREA_M2),
    }
}

/// Source: closed form of isothermal choked blow-down, exp(-t m0/m): first flow and mass written out here.
fn a_supply_without_compressor_blows_down_as_the_closed_form() -> Vec<Row> {
    let mut supply = receiver();
    let constant = 0.05 / (by_hand::RT * by_hand::choked_flux_over_pressure() * AREA_M2);
    let steps = 10_000;
    for _ in 0..steps {
        supply.deliver(absolute(1e4), constant / f64::from(steps));
    }
    let at = "50 L at 8 bar through 3 mm, after one time constant";
    let row = Row::new("Pressure in a receiver over its start", at, &[FARRELL]).computed();
    let row = row.because("10 000 steps of first order");
    vec![row.with(supply.receiver.pa / 8e5, (-1.0f64).exp(), Share(1e-4))]
}

/// Pressure in a receiver of 50 L that 2 L/s of free air feed while its valve, regulated to 4 bar, blows into the
/// atmosphere: mass of an ideal gas, valve by ISO 6358, both written out here.
struct Fed;

impl System<f64, Vector1<f64>> for Fed {
    fn system(&self, _: f64, pressure: &Vector1<f64>, change: &mut Vector1<f64>) {
        let (conductance, critical) =
            (AREA_M2 * by_hand::conductance_of_area(), (2.0f64 / 2.4).powf(3.5));
        let out = by_hand::iso_6358(conductance, critical, pressure[0].min(4e5), 101_325.0);
        let fed = 2e-3 * 101_325.0 / by_hand::RT;
        change[0] = (fed - out) * by_hand::RT / 0.05;
    }
}

/// Source: the valve's law of ISO 6358 and the balance of mass, integrated with `ode_solvers`, Dormand & Prince's method
/// of order 8 (SciPy comes to the same 272 036.5 Pa).
fn a_fed_receiver_falls_as_an_independent_integrator_has_it() -> Vec<Row> {
    let mut supply = Supply {
        free_air_delivery_m3_s: 2e-3,
        regulated: absolute(4e5),
        cut_out: absolute(9e5),
        ..receiver()
    };
    let start = Vector1::new(8e5);
    let mut stepper = Dop853::new(Fed, 0.0, 120.0, 1.0, start, 1e-10, 1e-10);
    stepper.integrate().unwrap();
    for _ in 0..120_000 {
        supply.deliver(AbsolutePressure::ATMOSPHERE, 1e-3);
    }
    let expected = stepper.y_out().last().unwrap()[0];
    assert!(expected < 4e5);
    let at = "50 L at 8 bar fed 2 L/s, regulated to 4 bar, after 120 s";
    let row = Row::new("Pressure in a fed receiver", at, &[ISO_6358, ODE_SOLVERS]).unit("Pa");
    let row = row.computed().because("steps of 1 ms against a method of order 8");
    vec![row.with(supply.receiver.pa, expected, Share(1e-5))]
}

/// Source: ISO 1217, free air delivery counts air at the state it is drawn in.
fn without_a_receiver_the_compressor_limits_the_flow() -> Vec<Row> {
    let small = Supply { receiver_m3: 0.0, free_air_delivery_m3_s: 1e-3, ..receiver() };
    assert_eq!(small.mass_flow(absolute(2e5)), (mass_of_free_air(1e-3), 0.0));
    let large = Supply { receiver_m3: 0.0, free_air_delivery_m3_s: 1.0, ..receiver() };
    assert_eq!(
        large.mass_flow(absolute(2e5)).0,
        large.valve.flow(absolute(20e5), absolute(2e5)).kg_s
    );
    let mut again = large;
    assert_eq!(again.deliver(absolute(2e5), 0.5), 0.5 * large.mass_flow(absolute(2e5)).0);
    assert_eq!(again, large);
    let at = "1 L/s at 101 325 Pa and 20 degC";
    let row = Row::new("Mass of free air", at, &[ISO_1217]).unit("kg/s").computed();
    let row = row.because("free air is counted at the state it is drawn in; the ideal gas by hand");
    vec![row.with(mass_of_free_air(1e-3), 101_325.0e-3 / by_hand::RT, Share(1e-9))]
}

validated! {
    Supply:
        a_supply_without_compressor_blows_down_as_the_closed_form,
        a_fed_receiver_falls_as_an_independent_integrator_has_it,
        without_a_receiver_the_compressor_limits_the_flow;
}

#[test]
fn the_regulator_caps_what_reaches_the_valve() {
    let supply = Supply { regulated: absolute(3e5), ..receiver() };
    assert_eq!(
        supply.mass_flow(absolute(1e5)).0,
        supply.valve.flow(absolute(3e5), absolute(1e5)).kg_s
    );
    assert_eq!(supply.mass_flow(absolute(3.5e5)), (0.0, 0.0));
    let low = Supply { receiver: absolute(2e5), ..supply };
    assert_eq!(low.mass_flow(absolute(1e5)).0, low.valve.flow(absolute(2e5), absolute(1e5)).kg_s);
}

#[test]
fn the_compressor_fills_the_receiver_to_cut_out_and_no_further() {
    let mut supply = Supply { receiver: absolute(7e5), free_air_delivery_m3_s: 5e-3, ..receiver() };
    // 50 L by 1 bar are 50 L of free air at the atmosphere, less 1.3 %.
    supply.deliver(absolute(9e5), 5.0);
    assert_relative_eq!(
        supply.receiver.pa,
        7e5 + 0.5 * AbsolutePressure::ATMOSPHERE.pa,
        max_relative = 1e-9
    );
    for _ in 0..100 {
        supply.deliver(absolute(9e5), 5.0);
    }
    assert_relative_eq!(supply.receiver.pa, 8e5, max_relative = 1e-12);
}

/// Source: ideal gas at one temperature: a receiver rises by what comes in over its volume.
#[test]
fn the_compressor_fills_the_receiver_while_full_lines_stand_between_two_purges() {
    let path = checks::root().join("scenarios/heron-36m-purge-together.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let (machine, _) = text.split_once("[[step]]").unwrap();
    let text = machine.replace("\"20 L\"", "\"200 L\"").replace("\"70 L/min\"", "\"20 L/min\"")
        + "[[step]]\nname = \"blow\"\ndo = \"purge\"\nfor = \"20 s\"\n\
           [[step]]\nname = \"fill\"\ndo = \"circulate\"\nfor = \"2 min\"\npump = \"60 %\"\n\
           [[step]]\nname = \"wait\"\ndo = \"stand\"\nfor = \"30 s\"\n\
           [[step]]\nname = \"again\"\ndo = \"purge\"\nfor = \"1 s\"\n";
    let folder = path.parent().unwrap();
    let scenario = read(&text, &checks::Beside(folder)).unwrap();
    let record = run(&scenario.machine, &scenario.course).unwrap();
    let receiver = |step: usize| {
        record.steps[step].moved.as_ref().unwrap().air.as_ref().unwrap().receiver.unwrap()
    };
    assert!(record.steps[2].moved.as_ref().unwrap().air.is_none(), "the lines are full");
    let (filled, again) = (receiver(1).end.pa, receiver(3).start.pa);
    let came_pa = 20e-3 / 60.0 * 30.0 * AbsolutePressure::ATMOSPHERE.pa / 0.2;
    assert!(
        filled + came_pa < GaugePressure { pa: 8e5 }.absolute().pa,
        "the compressor has room to fill"
    );
    assert_relative_eq!(again - filled, came_pa, max_relative = 1e-9);
}

fn any_supply() -> impl Strategy<Value = Supply> {
    let figures = (
        1e-4f64..0.5,
        1e5f64..12e5,
        0.0f64..0.05,
        2e5f64..12e5,
        1.5e5f64..10e5,
        0.1f64..100.0,
        0.1f64..0.6,
    );
    figures.prop_map(|(volume, pressure, delivery, cut_out, set, conductance, b)| Supply {
        receiver_m3: volume,
        receiver: absolute(pressure),
        free_air_delivery_m3_s: delivery,
        cut_out: absolute(cut_out),
        regulated: absolute(set),
        valve: AirRestriction { sonic_conductance_m3_s_pa: conductance * 1e-8, critical_ratio: b },
    })
}

proptest! {
    #[test]
    fn no_step_is_too_long_for_a_receiver(
        mut supply in any_supply(), downstream in 1e5f64..8e5, dt in 0.0f64..100.0,
    ) {
        let before = supply;
        let fed_at_most = mass_of_free_air(supply.free_air_delivery_m3_s) * dt;
        let taken = supply.deliver(absolute(downstream), dt);
        prop_assert!(taken >= 0.0 && taken <= before.mass_flow(absolute(downstream)).0 * dt);
        prop_assert!(supply.receiver.pa >= before.receiver.pa.min(downstream) * (1.0 - 1e-12));
        let highest = before.receiver.max(before.cut_out).pa;
        prop_assert!(supply.receiver.pa <= highest * (1.0 + 1e-12));
        let fed = supply.stored_kg() - before.stored_kg() + taken;
        let slack = 1e-12 * before.stored_kg() + 1e-12 * taken;
        prop_assert!(fed >= -slack && fed <= fed_at_most + slack);
    }

    #[test]
    fn a_supply_gives_less_against_more_pressure(
        supply in any_supply(), without in any::<bool>(), downstream in 1e5f64..8e5, step in 1.0f64..1e5,
    ) {
        let receiver_m3 = if without { 0.0 } else { supply.receiver_m3 };
        let supply = Supply { receiver_m3, ..supply };
        let (here, slope) = supply.mass_flow(absolute(downstream));
        let (there, _) = supply.mass_flow(absolute(downstream + step));
        prop_assert!(0.0 <= there && there <= here && here.is_finite() && slope <= 0.0);
    }
}
