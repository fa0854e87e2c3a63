//! Flow that changes: columns of liquid that start and stop, tanks that empty, air that pushes.

use crate::support::{G, liquid, reference_water};
use crate::validation::sources::{BITTLE, BOYLE, DILUTION, MASSEY, ODE_SOLVERS, WYLIE_STREETER};
use crate::validation::{By, Row, Share, validated};
use ode_solvers::{Dopri5, System, Vector1};
use sim_core::findings::pushed_out_m3;
use sim_core::fluids::Liquid;
use sim_core::hydraulics::{FlowState, LineLaw, Solver};
use sim_core::plumbing::{CheckValve, Line, Machine, Part, Plumbing, Sketch};
use sim_core::procedure::{Course, Load, ModelOptions, Settings, Step, Transfer};
use sim_core::simulation::run;
use sim_core::transport::Contents;
use std::f64::consts::PI;

const PLAIN: ModelOptions = ModelOptions {
    velocity_head: false,
    dispersion: true,
    laminar_tail: true,
    longest_move_s: 0.1,
    air_tolerance: 0.01,
    holdup: true,
    slip: true,
    fixed_front: None,
};

/// A line from a tank whose surface stands `head` above it to a free outlet.
fn drain(head: f64, line: Line) -> Plumbing {
    let mut sketch = Sketch::default();
    let (high, low) = (sketch.tank("high", head), sketch.tank("low", -10.0));
    let (from, to) = (sketch.tank_node("from", high, 0.0), sketch.tank_node("to", low, 0.0));
    sketch.line("line", from, to, line);
    sketch.finish()
}

/// Velocities in the line of `plumbing` at `times`, from rest, in steps of `dt`.
pub(crate) fn starting(
    plumbing: &Plumbing,
    liquid: &Liquid,
    area: f64,
    times: &[f64],
    dt: f64,
) -> Vec<f64> {
    let mut solver = Solver::new(plumbing, liquid, PLAIN);
    let mut now = FlowState::at_rest(plumbing);
    let settings = Settings::of(plumbing);
    let (mut done, mut found) = (0usize, Vec::new());
    for time in times {
        while (done as f64) * dt < time - 0.5 * dt {
            now = solver.advance(&settings, &now, dt).unwrap();
            done += 1;
        }
        found.push(now.flow_m3_s[0] / area);
    }
    found
}

/// The example's line: 100 m of 50 mm, Fanning's factor 0.001 (Darcy's 0.004), exit velocity head counted.
fn example_line() -> Line {
    Line { fixed_friction: Some(0.004), losses: 1.0, ..Line::plain(0.05, 100.0) }
}

/// Source: I. Bittle, *Fluids*, ch. 17, head 10 m: final velocity 4.67 m/s; the course by the tanh solution
/// (computed, gravity 9.81 m/s2): 0.966815, 1.854129, 3.651262, 4.531377 m/s after 1, 2, 5, 10 s.
fn flow_from_rest_follows_the_tanh_solution() -> Vec<Row> {
    let at = "100 m of 50 mm under 10 m of head";
    let mut course = Row::new("Velocity of flow from rest", at, &[BITTLE])
        .unit("m/s")
        .computed()
        .because("steps of 50 ms, second order");
    let mut last = Row::new("Final velocity of flow from rest", at, &[BITTLE])
        .unit("m/s")
        .within_source("half a unit of the third figure");
    let found = example_start(&TANH.map(|point| point.0), 0.05);
    for (got, (_, wanted)) in found.iter().zip(TANH) {
        course.near(*got, wanted, Share(1e-5));
    }
    last.near(*found.last().unwrap(), 4.67, By(0.005));
    vec![last, course]
}

/// Time, s, and velocity by the tanh solution, m/s.
pub(crate) const TANH: [(f64, f64); 5] =
    [(1.0, 0.966_815), (2.0, 1.854_129), (5.0, 3.651_262), (10.0, 4.531_377), (60.0, 4.669_047)];

/// Velocities of the example at `times`, in steps of `dt`.
pub(crate) fn example_start(times: &[f64], dt: f64) -> Vec<f64> {
    let plumbing = drain(10.0 * 9.81 / G, example_line());
    starting(&plumbing, &liquid(1000.0, 1e-3), PI * 0.05 * 0.05 / 4.0, times, dt)
}

/// Steps are of second order: half the step, a quarter of the error.
#[test]
fn half_the_time_step_leaves_a_quarter_of_the_error() {
    let error = |dt: f64| example_start(&[2.0], dt)[0] - 1.854_129_3;
    let ratio = error(0.5) / error(0.25);
    assert!((3.6..4.4).contains(&ratio), "{ratio}");
}

/// Velocities over time in the line of `plumbing` from rest, as a run with the default settings has them, s and m/s.
fn run_up(plumbing: Plumbing, liquid: Liquid) -> Vec<(f64, f64)> {
    let area = plumbing.branches[0].part.line().unwrap().area_m2();
    let machine = Machine { plumbing, ..Machine::default() };
    let step = Step::spray(&machine).lasts(20.0);
    let record = run(&machine, &Course::new(liquid, vec![step])).unwrap();
    let samples = &record.steps[0].moved.as_ref().unwrap().samples;
    samples.iter().map(|s| (s.time_s, f64::from(s.flows_m3_s[0]) / area)).collect()
}

/// Source: rigid column from rest under a constant head, with losses by the square of velocity `v = v0 tanh(t/T)`, `T = L
/// v0/(g H)` (E. B. Wylie & V. L. Streeter, *Fluid Transients*; V. L. Streeter & E. B. Wylie, *Fluid Mechanics*, chapter on
/// unsteady flow), laminar `v = v0 (1 - exp(-t/T))`, `T = D^2/(32 nu)`. At all times of a run with default settings.
fn runs_start_from_rest_as_the_closed_solutions_have_it() -> Vec<Row> {
    let of = |at: &'static str| {
        Row::new("Velocity of flow from rest in a run", at, &[WYLIE_STREETER])
            .unit("share of the final one")
            .computed()
            .because("steps of second order, with their error bounded: 0.1 % in all")
    };
    let mut square = of("losses by the square, 5 m of 25 mm under 3 m, all times");
    let head = 3.0;
    let losses = 0.03 * 5.0 / 0.025 + 1.0;
    let last = (2.0 * G * head / losses).sqrt();
    let line = Line { fixed_friction: Some(0.03), losses: 1.0, ..Line::plain(0.025, 5.0) };
    for (time, got) in run_up(drain(head, line), reference_water()) {
        let wanted = (time * G * head / (5.0 * last)).tanh();
        square.near(got / last, wanted, By(1e-3));
    }
    let mut laminar = of("laminar, 5 m of 10 mm under 1 m, 100 mPa s, all times");
    let viscous = liquid(1000.0, 0.1);
    let (bore, length) = (0.01, 5.0);
    let last = 1000.0 * G * bore * bore / (32.0 * 0.1 * length);
    let time_constant = bore * bore * 1000.0 / (32.0 * 0.1);
    let line = Line { losses: 0.0, ..Line::plain(bore, length) };
    for (time, got) in run_up(drain(1.0, line), viscous) {
        laminar.near(got / last, 1.0 - (-time / time_constant).exp(), By(1e-3));
    }
    vec![square, laminar]
}

/// The column of one line with friction by Colebrook, for an independent integrator.
struct Column {
    law: LineLaw,
    drive_pa: f64,
}

impl System<f64, Vector1<f64>> for Column {
    fn system(&self, _: f64, flow: &Vector1<f64>, change: &mut Vector1<f64>) {
        change[0] = (self.drive_pa - self.law.loss_at(flow[0]).pa) / self.law.inertance();
    }
}

/// Source: the crate `ode_solvers`, Dormand & Prince's method of order 5 with error control.
fn a_boom_hose_starts_as_an_independent_integrator_has_it() -> Vec<Row> {
    let at = "10 m of 25 mm under 3 m of head, 0.2 to 3 s";
    let mut row = Row::new("Velocity of flow from rest", at, &[ODE_SOLVERS])
        .unit("m/s")
        .computed()
        .because("steps of 10 ms, second order, against one of order 5");
    let (line, water) = (Line { losses: 2.5, ..Line::plain(0.025, 10.0) }, reference_water());
    let area = line.area_m2();
    let column =
        Column { law: LineLaw::new(&line, &water, 10.0), drive_pa: water.density_kg_m3 * G * 3.0 };
    let plumbing = drain(3.0, line);
    for time in [0.2, 0.5, 1.0, 3.0] {
        let start = Vector1::new(0.0);
        let system = Column { law: column.law, drive_pa: column.drive_pa };
        let mut stepper = Dopri5::new(system, 0.0, time, 0.1 * time, start, 1e-10, 1e-14);
        stepper.integrate().unwrap();
        let wanted = stepper.y_out().last().unwrap()[0] / area;
        let got = starting(&plumbing, &water, area, &[time], 0.01)[0];
        row.near(got, wanted, Share(1e-4));
    }
    vec![row]
}

/// Source: solved example of a power failure (numbering of B. Massey & J. Ward-Smith, *Mechanics of Fluids*):
/// 0.05 m3/s in 150 mm over 90 m against a lift of 8 m, Fanning's factor 0.007; flow goes on for 2.6 s (2.61782
/// s by the closed form, gravity 9.81 m/s2).
fn a_column_runs_on_after_a_power_failure_as_published() -> Vec<Row> {
    let mut sketch = Sketch::default();
    let (low, high) = (sketch.tank("low", 0.0), sketch.tank("high", 8.0 * 9.81 / G));
    let from = sketch.tank_node("from", low, 0.0);
    let (mid, to) = (sketch.node("mid", 0.0), sketch.tank_node("to", high, 0.0));
    let check = CheckValve { kv_si: 1.0, opens_at_pa: 0.0 };
    sketch.branch("check", from, mid, Part::CheckValve(check));
    let line = Line { fixed_friction: Some(0.028), losses: 0.0, ..Line::plain(0.15, 90.0) };
    sketch.line("line", mid, to, line);
    let plumbing = sketch.finish();
    let water = liquid(1000.0, 1e-3);
    let mut solver = Solver::new(&plumbing, &water, PLAIN);
    let mut now = FlowState::at_rest(&plumbing);
    now.flow_m3_s.fill(0.05);
    let (mut time, dt) = (0.0, 0.002);
    while now.flow_m3_s[1] > 1e-6 && time < 10.0 {
        now = solver.advance(&Settings::of(&plumbing), &now, dt).unwrap();
        time += dt;
    }
    let at = "0.05 m3/s in 90 m of 150 mm, against 8 m";
    let row = Row::new("Time a column runs on after power fails", at, &[MASSEY]).unit("s");
    vec![
        row.clone().within_source("half a unit of the second figure").with(time, 2.6, By(0.05)),
        row.computed().because("the closed form; steps of 2 ms").with(time, 2.617_82, Share(1e-3)),
    ]
}

/// Source: Boyle's law, written out here for four capped ends: air at atmospheric pressure (mL), spraying and closing
/// pressure (psi). They push out 53.6, 26.5, 30.9 and 67.7 mL.
fn trapped_air_pushes_out_what_boyle_says() -> Vec<Row> {
    let at = "70 to 170 mL in capped ends, 36 to 60 psi";
    let mut row = Row::new("Liquid that trapped air pushes out", at, &[BOYLE])
        .unit("mL")
        .computed()
        .because("the same law, written out apart");
    let (psi, atmosphere) = (6894.757, 101_325.0);
    for (air, spray, closing) in
        [(154.0, 45.0, 10.0), (70.0, 40.0, 8.0), (88.0, 36.0, 8.0), (170.0, 60.0, 10.0)]
    {
        let held = |gauge: f64| air * atmosphere / (atmosphere + gauge * psi);
        let got = 1e6 * pushed_out_m3(air * 1e-6, spray * psi, closing * psi);
        row.near(got, held(closing) - held(spray), Share(1e-9));
    }
    vec![row]
}

/// A tank of `heel` L that a wide line drains, with a second tank of clean water beside it.
fn rinsed(heel_l: f64, portions: &[f64], goes_on: bool) -> f64 {
    let mut sketch = Sketch::default();
    let (tank, water) = (sketch.tank("tank", 1.0), sketch.tank("water", 1.0));
    let drain = sketch.tank("drain", -1.0);
    let (from, to) = (sketch.tank_node("from", tank, 0.0), sketch.tank_node("to", drain, 0.0));
    sketch.line("line", from, to, Line::plain(0.02, 0.1));
    let mut plumbing = sketch.finish();
    plumbing.tanks[0].holds_m3 = Some(1e-3 * heel_l);
    plumbing.tanks[1].concentration = Some(0.0);
    let plain = ModelOptions { dispersion: false, laminar_tail: false, ..PLAIN };
    let liquid = reference_water();
    let mut contents = Contents::new(&plumbing, &liquid, plain, 1.0, 1.0);
    let mut still = FlowState::at_rest(&plumbing);
    contents.set_flows(&still);
    let (flow_m3_s, dt) = (1e-3, 0.01);
    let transfer = [Transfer { from: water, to: tank, flow_m3_s }];
    for portion in portions {
        let moves = (portion / (1e3 * flow_m3_s * dt)).round() as usize;
        if goes_on {
            still.flow_m3_s[0] = flow_m3_s;
            contents.set_flows(&still);
        }
        (0..moves).for_each(|_| {
            contents.advance(&still, &transfer, dt);
        });
        let (holds_m3, concentration) = (Some(1e-3 * heel_l), contents.tank_concentration(tank));
        contents.load(&Load { tank, holds_m3, concentration });
    }
    contents.tank_concentration(tank)
}

/// Source: rinse arithmetic: a heel V diluted by n equal portions of W in all keeps (V / (V + W/n))^n, by water
/// that runs through exp(-W/V).
fn repeated_and_continuous_rinses_dilute_as_the_arithmetic_says() -> Vec<Row> {
    let of =
        |at: &'static str| Row::new("Concentration left by rinses", at, &[DILUTION]).computed();
    let mut portions_row =
        of("76 L of residue, 379 L of water in 1, 3, 4 portions").because("moves of 10 ms");
    let (heel, water) = (75.7, 378.5);
    for count in [1i32, 3, 4] {
        let portion = water / f64::from(count);
        let portions = vec![portion; count as usize];
        let expected = (heel / (heel + portion)).powi(count);
        portions_row.near(rinsed(heel, &portions, false), expected, Share(2e-4));
    }
    let through = of("the same water running through").because("exact where flows stay the same");
    let expected = (-water / heel).exp();
    vec![portions_row, through.with(rinsed(heel, &[water], true), expected, Share(1e-9))]
}

validated! {
    Unsteady:
        flow_from_rest_follows_the_tanh_solution,
        runs_start_from_rest_as_the_closed_solutions_have_it,
        a_boom_hose_starts_as_an_independent_integrator_has_it,
        a_column_runs_on_after_a_power_failure_as_published;
    Transport:
        repeated_and_continuous_rinses_dilute_as_the_arithmetic_says;
    Purge:
        trapped_air_pushes_out_what_boyle_says;
}
