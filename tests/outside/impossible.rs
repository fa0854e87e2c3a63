//! States that nothing can be in are neither shown nor passed on.

use approx::assert_relative_eq;
use sim_core::findings::{Warning, of_run};
use sim_core::fluids::{GRAVITY_M_S2, water};
use sim_core::hydraulics::{Notice, Solver};
use sim_core::measures::Limits;
use sim_core::plumbing::{CheckValve, Line, Machine, Opening, Part, Plumbing, Pump, Sketch, Valve};
use sim_core::procedure::{Course, ModelOptions, Settings, Step};
use sim_core::simulation::{RunError, run};

/// Pressure of saturated water at 15 C, Pa absolute (IAPWS R7-97), less the standard atmosphere (ISO 2533).
const BOILS_PA: f64 = 1.70e3 - 101_325.0;

/// A pump that drives a hose through a valve of `kv` m3/h, back into its tank.
fn valve_ahead_of_a_hose(kv: f64, length_m: f64) -> Plumbing {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", 1.0);
    let (out, back) = (sketch.tank_node("out", tank, 0.0), sketch.tank_node("back", tank, 1.0));
    let (high, after) = (sketch.node("high", 0.0), sketch.node("after", 0.0));
    sketch.branch("pump", out, high, Part::Pump(Pump::plain(&[(0.0, 50.0), (3e-3, 20.0)])));
    let kv_si = kv / 3600.0 / 1e5f64.sqrt();
    let valve = Valve { kv_si, opening: 1.0, characteristic: Opening::Linear };
    sketch.branch("valve", high, after, Part::Valve(valve));
    sketch.line("hose", after, back, Line::plain(0.025, length_m));
    sketch.finish()
}

/// A run in which it shuts within `ramp_s`.
fn shut_within(kv: f64, length_m: f64, ramp_s: f64) -> (Machine, Course) {
    let machine = Machine::from(valve_ahead_of_a_hose(kv, length_m));
    let mut shut = Step::circulate(&machine).named("shut").lasts(10.0);
    shut.settings.opening[1] = 0.0;
    shut.change.ramp_s = ramp_s;
    let steps = vec![Step::circulate(&machine).lasts(30.0), shut];
    (machine, Course::new(water(15.0), steps))
}

#[test]
fn a_column_that_stops_too_fast_parts_and_no_pressure_falls_below_that_of_vapour() {
    let (machine, course) = shut_within(9.0, 30.0, 0.2);
    let record = run(&machine, &course).expect("it parts for a moment only");
    let findings = of_run(&machine, &course, &Limits::default(), &record);
    let parts = findings[1].warnings.iter().find_map(|warning| match warning {
        Warning::ColumnParts { node, lowest_pa, lasts_s, .. } => {
            Some((node.id, *lowest_pa, *lasts_s))
        }
        _ => None,
    });
    let (node, lowest_pa, lasts_s) = parts.expect("it parts");
    assert_eq!(machine.plumbing.node(node).name, "after");
    assert!(lowest_pa < BOILS_PA && lasts_s > 0.0 && lasts_s < 0.2);
    for step in &record.steps {
        let samples = step.moved.iter().flat_map(|moved| &moved.samples);
        let pressures = samples.flat_map(|sample| &sample.nodes_pa);
        assert!(pressures.copied().all(|pa| f64::from(pa) >= BOILS_PA - 20.0));
    }
}

#[test]
fn a_valve_that_takes_its_time_keeps_the_column_together() {
    let (machine, course) = shut_within(9.0, 30.0, 5.0);
    let record = run(&machine, &course).expect("it runs");
    assert!(record.steps[1].moved.as_ref().is_some_and(|moved| moved.parted.is_none()));
}

#[test]
fn a_column_that_stays_parted_ends_the_run_with_place_and_time() {
    // 800 m of liquid at 0.9 m/s: to stop it in four seconds takes more than the atmosphere.
    let (machine, course) = shut_within(1.0, 800.0, 4.0);
    match run(&machine, &course).map(|record| record.steps.len()) {
        Err(RunError::Parts { place, after_s, .. }) => {
            assert_eq!(place, "after");
            assert!(after_s > 1.0 && after_s < 10.0);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_pump_that_cannot_lift_its_check_valve_stands_at_its_shut_off_head() {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", 1.0);
    let foot = sketch.tank_node("foot", tank, 0.0);
    let header = sketch.node("header", 0.0);
    let mut idle = None;
    for (name, speed) in [("main", 1.0), ("second", 0.5)] {
        let (inlet, outlet) =
            (sketch.node(&format!("{name} in"), 0.0), sketch.node(&format!("{name} out"), 0.4));
        sketch.line(&format!("{name} suction"), foot, inlet, Line::plain(0.04, 1.0));
        let pump = Pump { speed, ..Pump::plain(&[(0.0, 50.0), (3e-3, 20.0)]) };
        let id = sketch.branch(name, inlet, outlet, Part::Pump(pump));
        let check = CheckValve { kv_si: 2e-5, opens_at_pa: 1e4 };
        sketch.branch(&format!("{name} check"), outlet, header, Part::CheckValve(check));
        idle = Some((id, outlet));
    }
    sketch.line("out", header, foot, Line::plain(0.016, 20.0));
    let plumbing = sketch.finish();
    let liquid = water(15.0);
    let instant = Solver::new(&plumbing, &liquid, ModelOptions::default())
        .solve(&Settings::of(&plumbing), &[])
        .expect("it has a solution");
    let (id, outlet) = idle.expect("two pumps");
    // Affinity laws: half the speed gives a quarter of the head; the outlet lies 0.6 m below the tank's surface.
    let weight = liquid.density_kg_m3 * GRAVITY_M_S2;
    assert_relative_eq!(
        instant.total_pressure_pa[outlet.index()],
        weight * (50.0 / 4.0 + 0.6),
        max_relative = 1e-9
    );
    let header_pa = instant.total_pressure_pa[header.index()];
    let needs = instant.notices.iter().find_map(|notice| match notice {
        Notice::PumpIdle { branch, needs_pa, .. } if *branch == id => Some(*needs_pa),
        _ => None,
    });
    // To open the check valve: the header's pressure and the valve's own, less what the tank's surface gives.
    let expected = header_pa + 1e4 - weight * 1.0;
    assert_relative_eq!(needs.expect("it is idle"), expected, max_relative = 1e-9);
}
