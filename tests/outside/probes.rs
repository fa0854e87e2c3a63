//! Probes: pressure, flow and concentration at any place, against closed forms.

use crate::support::{G, liquid};
use approx::assert_relative_eq;
use sim_core::plumbing::{BranchId, Line, Machine, Sketch};
use sim_core::procedure::{Course, ModelOptions, Probe, ProbePlace, Step};
use sim_core::simulation::{MovedRecord, run};

const DENSITY: f64 = 998.2;
const BORE_M: f64 = 0.025;
const LENGTH_M: f64 = 12.0;
const FRICTION: f64 = 0.02;
const HEAD_M: f64 = 5.0;
const RISE_M: f64 = 1.5;

/// A line from a tank of full strength to a free outlet higher up, with probes along it and a step of `seconds`.
fn watched(
    sag_m: f64,
    places: &[f64],
    seconds: f64,
    still: bool,
    model: ModelOptions,
) -> MovedRecord {
    let mut sketch = Sketch::default();
    let (above, below) = (sketch.tank("above", HEAD_M), sketch.tank("below", -9.0));
    let from = sketch.tank_node("from", above, 0.0);
    let out =
        if still { sketch.node("cap", RISE_M) } else { sketch.tank_node("out", below, RISE_M) };
    let line = Line { fixed_friction: Some(FRICTION), sag_m, ..Line::plain(BORE_M, LENGTH_M) };
    let line = sketch.line("line", from, out, line);
    let machine = Machine::from(sketch.finish());
    let mut course = Course::new(liquid(DENSITY, 1e-3), vec![Step::spray(&machine).lasts(seconds)]);
    course.model = model;
    let probe = |distance_m: &f64| Probe {
        name: format!("at {distance_m} m"),
        place: ProbePlace::Along { line, distance_m: *distance_m },
    };
    course.record.probes = places.iter().map(probe).collect();
    course.record.probes.push(Probe { name: "from".into(), place: ProbePlace::Node(from) });
    course.record.most_moments = Some(100_000);
    assert_eq!(line, BranchId::at(0));
    run(&machine, &course).unwrap().steps.remove(0).moved.unwrap()
}

/// Source: Darcy (1857) and Weisbach (1845): a straight line of one bore loses f/D rho v2/2 for each metre, and rho g for each
/// metre it rises; computed by hand.
#[test]
fn pressure_along_a_line_falls_as_darcy_and_weisbach_say() {
    let places = [0.0, 3.0, 7.5, 12.0];
    for velocity_head in [false, true] {
        let model = ModelOptions { velocity_head, ..ModelOptions::default() };
        let moved = watched(0.0, &places, 60.0, false, model);
        let last = moved.samples.last().unwrap();
        let velocity = f64::from(last.flows_m3_s[0]) / Line::plain(BORE_M, 1.0).area_m2();
        assert!(velocity > 1.0, "{velocity}");
        let per_m = FRICTION / BORE_M * 0.5 * DENSITY * velocity * velocity
            + DENSITY * G * RISE_M / LENGTH_M;
        let end = f64::from(last.probes[3].pressure_pa);
        for (probe, distance_m) in last.probes.iter().zip(places) {
            let expected = end + per_m * (LENGTH_M - distance_m);
            assert_relative_eq!(
                f64::from(probe.pressure_pa),
                expected,
                epsilon = 2.0,
                max_relative = 1e-4
            );
            assert_eq!(probe.flow_m3_s, last.flows_m3_s[0]);
            assert_eq!(probe.liquid_share, 1.0);
        }
        let head = if velocity_head { 0.5 * DENSITY * velocity * velocity } else { 0.0 };
        assert_relative_eq!(end, -head, epsilon = 30.0);
    }
}

/// Source: hydrostatics: at rest pressure is the weight of liquid up to the tank's surface, in a line that sags, too.
#[test]
fn at_rest_a_probe_reads_its_depth() {
    let (sag_m, places) = (0.4, [0.0, 3.0, 6.0, 9.0, 12.0]);
    let moved = watched(sag_m, &places, 1.0, true, ModelOptions::default());
    let last = moved.samples.last().unwrap();
    for (probe, distance_m) in last.probes.iter().zip(places) {
        let along = distance_m / LENGTH_M;
        let height_m = RISE_M * along - sag_m * (1.0 - (2.0 * along - 1.0).abs());
        let expected = DENSITY * G * (HEAD_M - height_m);
        assert_relative_eq!(f64::from(probe.pressure_pa), expected, max_relative = 1e-5);
    }
}

/// Source: plug flow, nothing spreads: what enters is at a distance x after x A / q, computed from the flow of the record.
#[test]
fn new_liquid_passes_a_probe_when_its_distance_has_been_travelled() {
    let places = [2.0, 6.0, 11.0];
    let model = ModelOptions {
        velocity_head: false,
        dispersion: false,
        laminar_tail: false,
        longest_move_s: 0.02,
        ..ModelOptions::default()
    };
    let moved = watched(0.0, &places, 12.0, false, model);
    let area_m2 = Line::plain(BORE_M, 1.0).area_m2();
    for (k, distance_m) in places.into_iter().enumerate() {
        let (mut travelled_m, mut before_s, mut arrived) = (0.0, 0.0, None);
        for sample in &moved.samples {
            let velocity = f64::from(sample.flows_m3_s[0]) / area_m2;
            travelled_m += velocity * (sample.time_s - before_s);
            before_s = sample.time_s;
            if arrived.is_none() && sample.probes[k].concentration > 0.5 {
                arrived = Some(travelled_m);
            }
        }
        // Within what the liquid travels in a move.
        assert_relative_eq!(arrived.expect("it comes"), distance_m, epsilon = 0.12);
    }
    let first = moved.samples.first().unwrap();
    assert!(first.probes.iter().take(3).all(|probe| probe.concentration == 0.0));
    assert_eq!(first.probes[3].concentration, 1.0);
}

/// Moments are thinned evenly, and the record says how often it keeps one.
#[test]
fn as_many_moments_are_kept_as_asked_for() {
    let model = ModelOptions { longest_move_s: 0.02, ..ModelOptions::default() };
    let all = watched(0.0, &[1.0], 12.0, false, model);
    assert_eq!(all.kept_every, 1);
    assert_eq!(all.samples.len(), all.moves + 1);
    let mut sketch = Sketch::default();
    let (above, below) = (sketch.tank("above", HEAD_M), sketch.tank("below", -9.0));
    let (from, out) = (sketch.tank_node("from", above, 0.0), sketch.tank_node("out", below, 0.0));
    sketch.line("line", from, out, Line::plain(BORE_M, LENGTH_M));
    let machine = Machine::from(sketch.finish());
    let mut course = Course::new(liquid(DENSITY, 1e-3), vec![Step::spray(&machine).lasts(12.0)]);
    course.model = model;
    course.record.most_moments = Some(50);
    let moved = run(&machine, &course).unwrap().steps.remove(0).moved.unwrap();
    assert!((25..=51).contains(&moved.samples.len()), "{}", moved.samples.len());
    assert!(moved.kept_every > 1 && moved.kept_every.is_power_of_two());
    assert!(moved.moves / moved.kept_every <= 51);
}
