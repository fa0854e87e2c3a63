//! Lines blown empty by a supply that gives way: a valve ahead of a room, a receiver that is drawn down.

use crate::purge_rig::{Manifold, Outlet, front, supply, through};
use crate::sharp_fronts::{Piston, SharpFronts};
use crate::support::liquid;
use crate::validation::sources::{ISO_6358, ODE_SOLVERS, WYLIE_STREETER};
use crate::validation::{Row, Share, validated};
use approx::assert_relative_eq;
use sim_core::plumbing::{AirSupply, Line};
use sim_core::simulation::MovedRecord;

const REGULATED_PA: f64 = 3e5 - 101_325.0;

/// The line of the reference's computed set.
fn line() -> Line {
    Line { fixed_friction: Some(0.025), losses: 2.0, ..Line::plain(0.025, 12.0) }
}

fn integrated(line: Line, supply: &AirSupply, ratio: f64) -> SharpFronts {
    SharpFronts {
        pistons: vec![Piston { line, rise_m: 0.0, head_m: 0.0 }],
        liquid: liquid(998.2, 1e-3),
        supply: supply.clone(),
        dead_m3: 1e-3,
        ratio,
        air_takes_all: false,
    }
}

fn rig(line: Line, supply: &AirSupply, ratio: f64) -> Manifold {
    let model = front((ratio > 1.0).then_some(ratio), 1e-3);
    Manifold::of_a_litre(vec![(line, Outlet::Free)], supply.clone(), model)
}

fn highest_at_inlet(moved: &MovedRecord) -> f64 {
    let inlets = moved.samples.iter().map(|s| f64::from(s.air.as_ref().unwrap().inlet_pa));
    inlets.fold(0.0, f64::max)
}

/// Source: the reference's own integration (computed): 300 kPa through a valve of 5 dm3/(s bar) into a room of 1 L
/// ahead of the line, sharp front.
#[test]
fn a_line_fed_through_a_valve_empties_as_in_the_reference() {
    let supply = supply(REGULATED_PA, 5e-8, 1e3);
    let rig = rig(line(), &supply, 1.0);
    let moved = rig.run(2.3);
    let time = through(&moved, 0).unwrap();
    assert_relative_eq!(time, 2.142, max_relative = 1e-2);
    assert_relative_eq!(highest_at_inlet(&moved), 192_240.0, max_relative = 1e-2);
    let at_one = rig.run(1.0).air.unwrap();
    let column = at_one.left[0].column_m3 / line().area_m2();
    assert_relative_eq!(column, 8.202, max_relative = 1e-2);
    let supplied = rig.run(time).air.unwrap().account.supplied_kg;
    assert_relative_eq!(supplied, 0.01923, max_relative = 1e-2);
}

/// With a front 1.2 times as fast as the liquid the reference (computed) has 1.873 s and 2.318 s. It lets air take the
/// room of the liquid left behind as well, so that pressure falls as a layer is laid. Here, as in nature, air has
/// the room that liquid has left: breakthrough comes 1.9 and 4.4 % sooner. One integration shows both.
#[test]
fn a_fast_front_breaks_through_sooner_where_air_has_only_the_room_liquid_left() {
    for (conductance, reference) in [(5e-8, 1.873), (2e-8, 2.318)] {
        let supply = supply(REGULATED_PA, conductance, 1e3);
        let ours = integrated(line(), &supply, 1.2);
        let other = SharpFronts { air_takes_all: true, ..ours.clone() }.run(5.0);
        assert_relative_eq!(other.through_s[0].unwrap(), reference, max_relative = 1e-3);
        let ours = ours.run(5.0);
        let moved = rig(line(), &supply, 1.2).run(2.5);
        let expected = ours.through_s[0].unwrap();
        assert!(expected < 0.985 * reference);
        assert_relative_eq!(through(&moved, 0).unwrap(), expected, max_relative = 5e-3);
        let highest = ours.highest_pa - 101_325.0;
        assert_relative_eq!(highest_at_inlet(&moved), highest, max_relative = 5e-3);
    }
}

/// Rows of [`compare`]: time to break through, liquid home at half of it, receiver.
#[track_caller]
fn compared(at: &'static str) -> [Row; 3] {
    [
        ("Time air takes through a full line", "s"),
        ("Liquid home at half that time", "L"),
        ("Pressure in the receiver then", "Pa"),
    ]
    .map(|(quantity, unit)| {
        let row = Row::new(quantity, at, &[WYLIE_STREETER, ISO_6358, ODE_SOLVERS]);
        row.unit(unit).computed().because("the same equations by a method of order 8")
    })
}

/// Time to break through, and what has come home at half of it, against the independent integration.
fn compare(rows: &mut [Row; 3], line: &Line, supply: &AirSupply, ratio: f64) {
    let model = integrated(line.clone(), supply, ratio);
    let whole = model.run(60.0);
    let time = whole.through_s[0].unwrap();
    let rig = rig(line.clone(), supply, ratio);
    let moved = rig.run(1.05 * time);
    rows[0].near(through(&moved, 0).unwrap(), time, Share(5e-3));
    let half = model.run(0.5 * time);
    let air = rig.run(0.5 * time).air.unwrap();
    let out = model.outflow(&half, 0);
    rows[1].near(air.returned.liquid_m3 * 1e3, out * 1e3, Share(5e-3));
    if supply.receiver_m3 > 0.0 {
        let receiver = rig.run(time).air.unwrap().receiver_pa.unwrap();
        rows[2].near(receiver[1], model.receiver(&whole), Share(5e-3));
    }
}

fn a_line_blown_at_nearly_constant_pressure_agrees_with_an_independent_integration() -> Vec<Row> {
    let mut rows = compared("6 to 18 m of 19 to 32 mm, 0.5 to 2 bar behind a wide valve");
    for (bore, length, pa) in [(0.025, 12.0, 1e5), (0.019, 18.0, 2e5), (0.032, 6.0, 0.5e5)] {
        let line = Line { losses: 3.0, ..Line::plain(bore, length) };
        compare(&mut rows, &line, &supply(pa, 5e-7, 1e3), 1.0);
        compare(&mut rows, &line, &supply(pa, 5e-7, 1e3), 1.2);
    }
    rows.into_iter().filter(|row| row.points > 0).collect()
}

fn a_line_emptied_from_a_finite_receiver_agrees_with_an_independent_integration() -> Vec<Row> {
    let mut rows = compared("12 m of 25 mm, receivers of 5 to 20 L at 3 to 5 bar");
    for (receiver_m3, charged_to_pa, regulated, conductance, ratio) in
        [(0.02, 5e5, 2e5, 3e-8, 1.0), (0.01, 4e5, 4e5, 3e-8, 1.2), (0.005, 3e5, 3e5, 5e-8, 1.0)]
    {
        let supply = AirSupply {
            receiver_m3,
            charged_to_pa,
            free_air_m3_s: 0.0,
            ..supply(regulated, conductance, 0.0)
        };
        compare(&mut rows, &line(), &supply, ratio);
    }
    rows.into()
}

validated! {
    Purge:
        a_line_blown_at_nearly_constant_pressure_agrees_with_an_independent_integration,
        a_line_emptied_from_a_finite_receiver_agrees_with_an_independent_integration;
}
