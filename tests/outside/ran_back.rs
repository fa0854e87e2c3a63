//! Purges whose air gives out: liquid that was back in the tank runs into the lines again.

use crate::purge_rig::{Manifold, Outlet, endless, front, published};
use crate::support::{G, liquid};
use approx::assert_relative_eq;
use sim_core::findings::{Purge, of_run};
use sim_core::measures::Limits;
use sim_core::plumbing::{AirSupply, Line, Machine, Sketch};
use sim_core::procedure::{Course, Step};
use sim_core::scenario::{NoFiles, read};
use sim_core::simulation::run;

const ATMOSPHERE_PA: f64 = 101_325.0;
const ROOM_M3: f64 = 1e-3;
const LIQUID_KG_M3: f64 = 998.2;
/// How far below a tank's surface the line ends, m.
const HEAD_M: f64 = 2.0;

/// A line that ends under a tank's surface, blown by a receiver alone: it gives out, and the tank runs back.
fn short_of_air(charged_to_pa: f64, receiver_m3: f64) -> Purge {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", HEAD_M);
    let (end, inlet) = (sketch.node("end", 0.0), sketch.node("inlet", 0.0));
    let mouth = sketch.tank_node("mouth", tank, 0.0);
    sketch.line("line", inlet, mouth, Line::plain(0.032, 40.0));
    let bore_m = (ROOM_M3 / 0.2 * 4.0 / std::f64::consts::PI).sqrt();
    let room = Line { fixed_friction: Some(0.0), ..Line::plain(bore_m, 0.2) };
    let room = sketch.line("room", end, inlet, room);
    sketch.plumbing_mut().air = Some(AirSupply {
        receiver_m3,
        charged_to_pa,
        free_air_m3_s: 0.0,
        ..AirSupply::regulated(charged_to_pa, 1e-6)
    });
    let machine = Machine::from(sketch.finish());
    let purge = Step::purge(&machine, inlet).lasts(120.0);
    let mut course = Course::new(liquid(LIQUID_KG_M3, 0.02), vec![purge]);
    course.model = front(None, 0.01);
    course.start.own = vec![(room, None)];
    let record = run(&machine, &course).unwrap();
    of_run(&machine, &course, &Limits::default(), &record).remove(0).purge.unwrap()
}

/// Source: Boyle (1662) at one temperature. When the column turns, the air in the line is at the receiver's lowest pressure, and
/// no more comes in after that; at the end it is at the pressure of the tank's mouth. A volume of air is the room and what has
/// been pushed out.
#[test]
fn what_ran_back_is_what_the_air_shrinks_by() {
    for (charged_to_pa, receiver_m3) in [(3e5, 5e-3), (4e5, 4e-3), (5e5, 2e-3)] {
        let purge = short_of_air(charged_to_pa, receiver_m3);
        let back = purge.ran_back.expect("the air gives out");
        assert!(purge.sections.is_empty() && purge.returned_m3 > 0.0);
        let turned_pa = ATMOSPHERE_PA + purge.receiver.unwrap().lowest_pa;
        let at_rest_pa = ATMOSPHERE_PA + LIQUID_KG_M3 * G * HEAD_M;
        let most_m3 = ROOM_M3 + back.most_returned_m3;
        let shrinks_by = most_m3 * (1.0 - turned_pa / at_rest_pa);
        assert_relative_eq!(back.ran_back_m3, shrinks_by, max_relative = 1e-3);
        let left = back.most_returned_m3 - back.ran_back_m3;
        assert_relative_eq!(left, purge.returned_m3, max_relative = 1e-9);
        assert!(back.most_returned_at_s < 0.5 * purge.lasted_s);
    }
}

/// A small sprayer held at 3 bar, then blown with 1 bar: its pump side keeps the 3 bar behind the non-return valve, and no part
/// bears them because of the air.
#[test]
fn pressure_left_over_from_spraying_is_not_the_highest_of_a_purge() {
    let text = r#"
[tank]
holds = "100 L"
[pump]
points = [["0 L/min", "6 bar"], ["400 L/min", "3 bar"]]
suction = { bore = "51 mm", length = "2 m" }
[control]
hold = "3 bar"
[boom]
width = "12 m"
return = true
tube = { bore = "20 mm", rating = "10 bar" }
sections = 3
tips_per_section = 8
[supply]
main = { bore = "38 mm", length = "6 m", rating = "10 bar" }
hose = { bore = "25 mm", rating = "10 bar" }
section_valve = { kv = "9 m3/h" }
[return_path]
hose = { bore = "19 mm" }
main = { bore = "32 mm", length = "5 m" }
valve = { kv = "12 m3/h" }
[tips]
size = "04"
[air]
regulated = "1 bar"
compressor = "500 L/min"
valve = { conductance = "5 L/(s bar)" }
check = { kv = "40 m3/h" }
[[step]]
do = "spray"
for = "5 s"
[[step]]
do = "purge"
for = "10 s"
"#;
    let scenario = read(text, &NoFiles).unwrap();
    let record = run(&scenario.machine, &scenario.course).unwrap();
    let found = of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
    let before = &record.steps[0].end.static_pressure_pa;
    assert!(before.iter().copied().fold(0.0, f64::max) > 3e5);
    let purge = found[1].purge.as_ref().unwrap();
    let highest = purge.highest.as_ref().unwrap();
    assert!((0.5e5..1.05e5).contains(&highest.pressure_pa), "{highest:?}");
    assert!(purge.rating.as_ref().unwrap().rating_share < 0.105);
}

/// Where the record has column, wall and low spot adds up to what lines hold, and each to what is left of its kind.
#[test]
fn the_record_knows_where_liquid_is_in_each_line() {
    let long = |sag_m: f64| Line { sag_m, losses: 1.0, ..Line::plain(0.025, 9.0) };
    for (seconds, model) in
        [(1.0, published(0.02)), (6.0, published(0.02)), (0.8, front(None, 0.02))]
    {
        let lines = vec![(long(0.0), Outlet::Free), (long(0.3), Outlet::Rising(0.5))];
        let rig = Manifold::of_a_litre(lines, endless(0.6e5), model);
        let moved = rig.run(seconds);
        let (air, last) = (moved.air.unwrap(), moved.samples.last().unwrap().air.clone().unwrap());
        for (i, left) in air.left.iter().enumerate().take(2) {
            let (phases, bore_m3) = (last.lines[i], long(0.0).volume_m3());
            // What waits at a node is counted with a line there.
            let waits_m3 = 5e-7;
            assert_relative_eq!(
                phases.liquid_share() * bore_m3,
                left.liquid_m3(),
                epsilon = waits_m3
            );
            let column = phases.column.map_or(0.0, |[from, to]| f64::from(to - from));
            assert_relative_eq!(column * bore_m3, left.column_m3, epsilon = 1e-6 * bore_m3);
            let pool = phases.pool.map_or(0.0, |[_, share]| f64::from(share));
            assert_relative_eq!(pool * bore_m3, left.pool_m3, epsilon = 1e-6 * bore_m3);
        }
        // A sharp front under constant pressure has left the pushed volume of bore empty behind the column.
        if model.fixed_front.is_none() && !model.holdup {
            let [from, to] = last.lines[0].column.expect("not through yet");
            let out_m3 = long(0.0).volume_m3() - air.left[0].column_m3;
            assert_relative_eq!(
                f64::from(from) * long(0.0).volume_m3(),
                out_m3,
                max_relative = 1e-5
            );
            assert_eq!(to, 1.0);
        }
    }
}
