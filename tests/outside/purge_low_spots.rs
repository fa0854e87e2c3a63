//! Low spots under air: what stays, what is swept out.

use crate::purge_rig::{only, published, supply};
use crate::support::{G, liquid};
use crate::validation::sources::{BUTTERWORTH, CORROSION_HANDBOOK, TAITEL_DUKLER, WEDGE};
use crate::validation::{Row, Share, validated};
use sim_core::plumbing::{Line, Machine, NodeId, Plumbing, Sketch};
use sim_core::procedure::{Course, Step};
use sim_core::transport::LineLeft;
use std::f64::consts::PI;

/// Cubic foot a minute, m3/s.
const CFM: f64 = 4.719_474_4e-4;

/// What each line of `plumbing` holds after `free_air` m3/s for `seconds`.
fn blown(mut plumbing: Plumbing, from: NodeId, free_air: f64, seconds: f64) -> Vec<LineLeft> {
    plumbing.air = Some(supply(3e5, 5e-7, free_air));
    let machine = Machine::from(plumbing);
    let steps = vec![Step::purge(&machine, from).lasts(seconds)];
    let mut course = Course::new(liquid(998.2, 1e-3), steps);
    course.model = published(0.02);
    only(&machine, &course).air.unwrap().left
}

/// A V of two legs of 25 mm at 10 degrees: two lines, or one that sags.
fn v_line(leg_m: f64, sagging: bool) -> (Plumbing, NodeId) {
    let depth_m = leg_m * 10.0f64.to_radians().sin();
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", -10.0);
    let from = sketch.node("from", 0.0);
    let to = sketch.tank_node("to", tank, 0.0);
    if sagging {
        let line = Line { sag_m: depth_m, ..Line::plain(0.025, 2.0 * leg_m) };
        sketch.line("line", from, to, line);
    } else {
        let low = sketch.node("low", -depth_m);
        sketch.line("down", from, low, Line::plain(0.025, leg_m));
        sketch.line("up", low, to, Line::plain(0.025, leg_m));
    }
    (sketch.finish(), from)
}

/// Slope rule of *Corrosion Engineering: Principles and Practice*, ch. 12 (its factor from memory): 7.9 m/s carry water up
/// 10 degrees, good to 30 %. So at 5 m/s and less of free air a pool must stay, at 12 m/s and more it must be gone within
/// 30 s. A pool is what closes one leg, `pi D^3 / (8 tan)`: 34.8 mL; gone is less than a tenth of it in the low spot.
/// The product steps at 7.9 m/s by the same rule: this holds the run to its law.
fn a_v_keeps_its_pool_under_weak_air_and_loses_it_under_strong() -> Vec<Row> {
    let of = |at: &'static str, why: &'static str| {
        let sources = &[CORROSION_HANDBOOK, WEDGE];
        let row = Row::new("Liquid kept by a low spot, of what closes a leg", at, sources);
        row.remembered().because(why)
    };
    let at = "V of 25 mm, legs of 10 degrees, air at 2 to 5 m/s for 30 and 60 s";
    let mut kept = of(at, "below the rule's 7.9 m/s less 30 % a pool stays");
    let at = "the same, air at 12 and 15 m/s for 30 s";
    let mut swept = of(at, "above the rule's 7.9 m/s and 30 % less than a tenth stays");
    let seal_m3 = PI * 0.025f64.powi(3) / (8.0 * 10.0f64.to_radians().tan());
    let area_m2 = Line::plain(0.025, 1.0).area_m2();
    for sagging in [true, false] {
        for leg_m in [1.0, 3.0] {
            let left = |velocity: f64, seconds: f64| {
                let (plumbing, from) = v_line(leg_m, sagging);
                let left = blown(plumbing, from, velocity * area_m2, seconds);
                *left.last().unwrap()
            };
            for velocity in [2.0, 3.5, 5.0] {
                for seconds in [30.0, 60.0] {
                    let holds = left(velocity, seconds).liquid_m3();
                    kept.between(holds / seal_m3, 1.0, f64::INFINITY);
                }
            }
            for velocity in [12.0, 15.0] {
                let left = left(velocity, 30.0);
                swept.between((left.column_m3 + left.pool_m3) / seal_m3, 0.0, 0.1);
            }
        }
    }
    vec![kept, swept]
}

/// What the level line of 30 m and the riser of 1 m behind it hold.
fn riser(cfm: f64, seconds: f64) -> [LineLeft; 2] {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", -10.0);
    let (from, foot) = (sketch.node("from", 0.0), sketch.node("foot", 0.0));
    let to = sketch.tank_node("to", tank, 1.0);
    sketch.line("level", from, foot, Line::plain(0.0266, 30.0));
    sketch.line("riser", foot, to, Line::plain(0.0266, 1.0));
    let left = blown(sketch.finish(), from, cfm * CFM, seconds);
    [left[0], left[1]]
}

/// Common practice, no source: 20 cubic feet a minute empty the foot of a riser of 1 inch line, 5 do not. A pool is what
/// fills the bore over one bore's length, 14.8 mL.
#[test]
fn twenty_cubic_feet_a_minute_empty_the_foot_of_a_riser_and_five_do_not() {
    let plug_m3 = PI * 0.0266f64.powi(3) / 4.0;
    for seconds in [60.0, 120.0] {
        let [_, strong] = riser(20.0, seconds);
        assert!(strong.column_m3 + strong.pool_m3 < 0.5 * plug_m3, "{seconds} {strong:?}");
        let [_, weak] = riser(5.0, seconds);
        assert!(weak.liquid_m3() > 3.0 * plug_m3, "{seconds} {weak:?}");
    }
}

/// What 10 m of 22 mm falling by `fall` hold after 60 s of `litres_min` of free air, L.
fn sloping(fall: f64, litres_min: f64) -> f64 {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", -3.0);
    let from = sketch.node("from", 0.0);
    let to = sketch.tank_node("to", tank, -10.0 * fall);
    sketch.line("line", from, to, Line::plain(0.022, 10.0));
    1e3 * blown(sketch.finish(), from, 1e-3 / 60.0 * litres_min, 60.0)[0].liquid_m3()
}

/// One per cent of fall empties a line as much as three times the air does: computed by an independent reader with the
/// weight of a flat layer, 0.107 and 0.088 L left by 20 and 60 L/min at 1 %, 0.046 and 0.041 L at 3 %, in his
/// discretisation and with Bendiksen's drift.
fn a_gentle_fall_empties_a_line_as_air_does() -> Vec<Row> {
    let at = "10 m of 22 mm falling by 1 and 3 %, 20 and 60 L/min for 60 s";
    let mut row = Row::new("Liquid left in a falling line", at, &[TAITEL_DUKLER, BUTTERWORTH])
        .unit("L")
        .computed()
        .differs_because("another weight of thin layers and another drift of the nose");
    for (fall, litres_min, expected) in
        [(0.01, 20.0, 0.107), (0.01, 60.0, 0.088), (0.03, 20.0, 0.046), (0.03, 60.0, 0.041)]
    {
        row.near(sloping(fall, litres_min), expected, Share(0.25));
    }
    assert!(sloping(0.01, 20.0) < 0.4 * sloping(0.0, 20.0));
    vec![row]
}

/// Statics and Darcy: what a riser of 2 m holds weighs rho g times its volume over the bore, 5.68 kPa at 29 %, which is the
/// most that can be at its foot beside friction; air alone takes 20 Pa. The mean lies between, at some 15 % of the weight: while a
/// plug closes the foot, what clings above runs down the wall. No figure was found to hold that share against.
#[test]
fn a_wet_riser_costs_air_far_more_than_a_dry_one_and_no_more_than_its_weight() {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", -3.0);
    let (from, foot) = (sketch.node("from", 0.0), sketch.node("foot", 0.0));
    let to = sketch.tank_node("to", tank, 2.0);
    sketch.line("level", from, foot, Line::plain(0.022, 10.0));
    let riser = sketch.line("riser", foot, to, Line::plain(0.022, 2.0));
    sketch.gauge("foot", foot);
    let mut plumbing = sketch.finish();
    plumbing.air = Some(supply(3e5, 5e-7, 1e-3));
    let machine = Machine::from(plumbing);
    let blow = Step::purge(&machine, from).lasts(60.0);
    let mut course = Course::new(liquid(998.2, 1e-3), vec![blow]);
    course.model = published(0.02);
    let moved = only(&machine, &course);
    let holds_m3 = moved.air.as_ref().unwrap().left[riser.index()].liquid_m3();
    let weight_pa = 998.2 * G * holds_m3 / Line::plain(0.022, 2.0).area_m2();
    let late = moved.samples.iter().zip(&moved.samples[1..]).filter(|(a, _)| a.time_s > 30.0);
    let summed: f64 = late.map(|(a, b)| f64::from(b.gauges_pa[0]) * (b.time_s - a.time_s)).sum();
    let share = summed / 30.0 / weight_pa;
    assert!((0.1..1.0).contains(&share), "{share} of {weight_pa} Pa");
}

validated! {
    LowSpots:
        a_gentle_fall_empties_a_line_as_air_does,
        a_v_keeps_its_pool_under_weak_air_and_loses_it_under_strong;
}
