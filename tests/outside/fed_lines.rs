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
    }
}

fn rig(line: Line, supply: &AirSupply, ratio: f64) -> Manifold {
    let model = front((ratio > 1.0).then_some(ratio), 1e-3);
    Manifold::of_a_litre(vec![(line, Outlet::Free)], supply.clone(), model)
}

fn highest_at_inlet(moved: &MovedRecord) -> f64 {
    let inlets = moved.samples.iter().map(|s| s.air.as_ref().unwrap().inlet().unwrap().pa);
    inlets.fold(0.0, f64::max)
}

/// Source: rigid column (Wylie & Streeter) behind a front C0 times as fast as the liquid, air at one temperature in the
/// room that liquid has left, valve by ISO 6358 from 300 kPa into 1 L ahead of the line; integrated apart with error
/// control, inertia of at least five bores of column. Valve in dm3/(s bar), C0; time air takes, s; highest pressure, Pa
/// gauge; column at 1 s, m; air used, g.
const FED: [(f64, f64, [f64; 4]); 3] = [
    (5.0, 1.2, [1.8377, 192_230.0, 7.3831, 16.379]),
    (2.0, 1.2, [2.2173, 147_880.0, 8.5169, 12.375]),
    (5.0, 1.0, [2.1418, 192_240.0, 8.2020, 19.234]),
];

fn a_line_fed_through_a_valve_empties_as_computed() -> Vec<Row> {
    let mut rows = [
        ("Time air takes through a full line", "s"),
        ("Highest pressure ahead of it", "Pa"),
        ("Column left after 1 s", "m"),
        ("Air used", "g"),
    ]
    .map(|(quantity, unit)| {
        let at = "12 m of 25 mm, 2 bar through 2 and 5 dm3/(s bar), sharp and fast front";
        let row = Row::new(quantity, at, &[WYLIE_STREETER, ISO_6358]).unit(unit);
        row.computed().because("the same equations, integrated apart")
    });
    for (conductance, ratio, expected) in FED {
        let supply = supply(REGULATED_PA, 1e-8 * conductance, 1e3);
        let rig = rig(line(), &supply, ratio);
        let moved = rig.run(1.05 * expected[0]);
        let time = through(&moved, 0).unwrap();
        let at_one = rig.run(1.0).air.unwrap();
        let at_end = rig.run(time).air.unwrap();
        let got = [
            time,
            highest_at_inlet(&moved),
            at_one.left[0].column_m3 / line().area_m2(),
            1e3 * at_end.account.supplied_kg,
        ];
        for (row, (got, expected)) in rows.iter_mut().zip(got.into_iter().zip(expected)) {
            row.near(got, expected, Share(3e-3));
        }
        let share = at_end.left[0].liquid_m3() / line().volume_m3();
        assert_relative_eq!(share, 1.0 - 1.0 / ratio, epsilon = 3e-3);
        // The integration of this file comes to the same.
        let ours = integrated(line(), &supply, ratio).run(5.0);
        assert_relative_eq!(ours.through_s[0].unwrap(), expected[0], max_relative = 1e-3);
        assert_relative_eq!(ours.highest_pa - 101_325.0, expected[1], max_relative = 1e-3);
    }
    rows.into()
}

/// Rows of [`compare`]: time to break through, liquid back at half of it, receiver.
#[track_caller]
fn compared(at: &'static str) -> [Row; 3] {
    [
        ("Time air takes through a full line", "s"),
        ("Liquid home at half that time", "L"),
        ("Pressure in the receiver then", "Pa"),
    ]
    .map(|(quantity, unit)| {
        let row = Row::new(quantity, at, &[WYLIE_STREETER, ISO_6358, ODE_SOLVERS]);
        row.unit(unit)
            .computed()
            .because("the same equations by a method of order 8; moves of 1 ms")
    })
}

/// Time to break through, and what has return at half of it, against the independent integration.
fn compare(rows: &mut [Row; 3], line: &Line, supply: &AirSupply, ratio: f64) {
    let model = integrated(line.clone(), supply, ratio);
    let whole = model.run(60.0);
    let time = whole.through_s[0].unwrap();
    let rig = rig(line.clone(), supply, ratio);
    let moved = rig.run(1.05 * time);
    rows[0].near(through(&moved, 0).unwrap(), time, Share(2e-3));
    let half = model.run(0.5 * time);
    let air = rig.run(0.5 * time).air.unwrap();
    let out = model.outflow(&half, 0);
    rows[1].near(air.returned.liquid_m3 * 1e3, out * 1e3, Share(2e-3));
    if supply.receiver_m3 > 0.0 {
        let receiver = rig.run(time).air.unwrap().receiver.unwrap();
        rows[2].near(receiver.end.pa, model.receiver(&whole), Share(2e-3));
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
        a_line_fed_through_a_valve_empties_as_computed,
        a_line_blown_at_nearly_constant_pressure_agrees_with_an_independent_integration,
        a_line_emptied_from_a_finite_receiver_agrees_with_an_independent_integration;
}
