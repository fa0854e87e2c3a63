//! Air closed in at the end of a line: what holds liquid back, and what springs.

use crate::purge_rig::{front, only};
use crate::support::{G, liquid};
use crate::validation::sources::{BOYLE, COLUMN, ODE_SOLVERS};
use crate::validation::{By, Row, Share, validated};
use ode_solvers::{Dop853, System, Vector2};
use sim_core::fluids::Liquid;
use sim_core::plumbing::{BranchId, Line, Machine, Plumbing, Sketch};
use sim_core::procedure::{Course, Step};
use sim_core::simulation::MovedRecord;

const ATMOSPHERE: f64 = 101_325.0;

/// What moves in `plumbing`, full of `liquid` but for the line `dry`, as it is for `seconds`.
fn stands(
    plumbing: Plumbing,
    dry: BranchId,
    liquid: Liquid,
    seconds: f64,
    longest_move_s: f64,
) -> MovedRecord {
    let machine = Machine::from(plumbing);
    let mut course = Course::new(liquid, vec![Step::stand(&machine).lasts(seconds)]);
    course.model = front(None, longest_move_s);
    course.start.own = vec![(dry, None)];
    only(&machine, &course)
}

/// A line of the length, bore and slope of the rig, closed at its upper end, with a pocket `pocket_m` long there and
/// its lower end just under a tank's surface.
fn drained(pocket_m: f64, seconds: f64) -> MovedRecord {
    let (length_m, sin) = (4.36, 0.5);
    let mut sketch = Sketch::default();
    let top = sketch.node("top", length_m * sin);
    let under = sketch.node("under the pocket", (length_m - pocket_m) * sin);
    let tank = sketch.tank("tank", 0.0);
    let foot = sketch.tank_node("foot", tank, 0.0);
    let pocket = sketch.line("pocket", top, under, Line::plain(0.042, pocket_m));
    sketch.line("line", under, foot, Line::plain(0.042, length_m - pocket_m));
    sketch.gauge("top", top);
    // So viscous that it soon comes to rest.
    stands(sketch.finish(), pocket, liquid(998.2, 0.05), seconds, 5e-3)
}

/// Source: end states of a closed pocket above a line that drains at its foot, computed apart from Boyle's law and the
/// weight of the column. A line vented at the bottom alone does not drain.
fn a_line_shut_at_its_upper_end_hangs_as_far_as_boyle_lets_it() -> Vec<Row> {
    let of = |quantity: &'static str| {
        let at = "4.36 m of 42 mm at 30 degrees, pockets of 0.205 to 0.45 m";
        let row = Row::new(quantity, at, &[BOYLE]).computed();
        row.because("end states by Boyle's law, not measured ones")
    };
    let mut pressures = of("Pressure in a closed pocket at rest").unit("Pa");
    let mut lengths = of("Length of a closed pocket at rest").unit("m");
    for (pocket_m, absolute_pa, length_m) in
        [(0.205, 81_230.0, 0.2557), (0.340, 82_034.0, 0.4200), (0.450, 82_678.0, 0.5515)]
    {
        let moved = drained(pocket_m, 60.0);
        let gauge = f64::from(moved.samples.last().unwrap().gauges_pa[0]);
        pressures.near(gauge + ATMOSPHERE, absolute_pa, Share(5e-4));
        let left: f64 = moved.air.unwrap().left.iter().map(|left| left.liquid_m3()).sum();
        let area = Line::plain(0.042, 1.0).area_m2();
        lengths.near(4.36 - left / area, length_m, By(1e-3));
    }
    vec![pressures, lengths]
}

/// A dry line, closed at its far end, that a tank `head_m` above it fills.
struct Filling {
    line: Line,
    head_m: f64,
}

impl Filling {
    fn run(&self, seconds: f64, longest_move_s: f64) -> MovedRecord {
        let mut sketch = Sketch::default();
        let tank = sketch.tank("tank", self.head_m);
        let from = sketch.tank_node("from", tank, 0.0);
        let end = sketch.node("end", 0.0);
        let line = sketch.line("line", from, end, self.line.clone());
        sketch.gauge("end", end);
        stands(sketch.finish(), line, liquid(998.2, 1e-3), seconds, longest_move_s)
    }
}

struct Spring<'a> {
    filling: &'a Filling,
    density: f64,
}

impl System<f64, Vector2<f64>> for Spring<'_> {
    /// Velocity and length of the column.
    fn system(&self, _: f64, y: &Vector2<f64>, dy: &mut Vector2<f64>) {
        let line = &self.filling.line;
        let (v, column) = (y[0], y[1]);
        let length = column.max(line.bore_m);
        let pa = ATMOSPHERE * line.length_m / (line.length_m - column);
        let share = length / line.length_m;
        let lost = line.fixed_friction.unwrap() * length / line.bore_m + line.losses * share;
        let drive = ATMOSPHERE + self.density * G * self.filling.head_m - pa;
        let loss = 0.5 * self.density * lost * v * v.abs();
        *dy = Vector2::new((drive - loss) / (self.density * length), v);
    }

    /// Ends where the column turns back.
    fn solout(&mut self, _: f64, y: &Vector2<f64>, _: &Vector2<f64>) -> bool {
        y[0] < 0.0
    }
}

/// When the column first turns back, s, and how long it is then, m: of the last steps before and behind the turn the
/// longer, which are 0.1 ms apart.
fn turning_point(filling: &Filling) -> (f64, f64) {
    let system = Spring { filling, density: 998.2 };
    let mut stepper = Dop853::new(system, 0.0, 10.0, 1e-4, Vector2::zeros(), 1e-10, 1e-12);
    stepper.integrate().unwrap();
    let moments = stepper.x_out().iter().zip(stepper.y_out()).map(|(t, y)| (*t, y[1]));
    moments.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap()
}

/// Source: the crate `ode_solvers`, Dormand & Prince's method of order 8, on a rigid column that lengthens against air
/// at one temperature, its friction and the losses spread along its line written out in this check.
fn a_line_filling_against_trapped_air_turns_back_when_an_independent_integration_does() -> Vec<Row>
{
    let of = |quantity: &'static str, unit: &'static str| {
        let at = "dead-ended dry lines of 6 to 20 m under 2 to 10 m of water";
        let row = Row::new(quantity, at, &[COLUMN, BOYLE, ODE_SOLVERS]).unit(unit);
        row.computed().because("moves of 0.2 ms against a method of order 8")
    };
    let mut times = of("Time until trapped air turns a column back", "s");
    let mut columns = of("Length of the column then", "m");
    let mut pressures = of("Pressure of the trapped air then", "Pa");
    for (bore, length, losses, head_m) in
        [(0.025, 10.0, 1.5, 2.0), (0.04, 6.0, 1.0, 10.0), (0.019, 20.0, 3.0, 5.0)]
    {
        let line = Line { losses, fixed_friction: Some(0.025), ..Line::plain(bore, length) };
        let filling = Filling { line, head_m };
        let (time_s, column_m) = turning_point(&filling);
        let moved = filling.run(1.2 * time_s, 2e-4);
        let highest = moved.samples.iter().max_by(|a, b| a.gauges_pa[0].total_cmp(&b.gauges_pa[0]));
        let highest = highest.unwrap();
        times.near(highest.time_s, time_s, Share(3e-3));
        let share = 1.0 - highest.air.as_ref().unwrap().air_share(0);
        columns.near(share * length, column_m, Share(1e-3));
        let absolute = ATMOSPHERE * length / (length - column_m);
        let got = f64::from(highest.gauges_pa[0]) + ATMOSPHERE;
        pressures.near(got, absolute, Share(2e-3));
    }
    vec![times, columns, pressures]
}

/// Boyle's law and the weight of what stands over it say what air caught for good holds.
fn air_caught_in_a_dead_leg_comes_to_rest_at_the_pressure_of_its_mouth() -> Vec<Row> {
    let line = Line { losses: 1.5, fixed_friction: Some(0.3), ..Line::plain(0.025, 10.0) };
    let volume = line.volume_m3();
    let head_m = 2.0;
    let air = Filling { line, head_m }.run(300.0, 0.02).air.unwrap();
    let absolute = ATMOSPHERE + 998.2 * G * head_m;
    let [caught] = air.caught[..] else { panic!("{:?}", air.caught) };
    let of = |quantity: &'static str| {
        let at = "10 m of 25 mm, dead-ended, under 2 m of water";
        Row::new(quantity, at, &[BOYLE]).computed().because("at rest after 300 s")
    };
    let room = volume * ATMOSPHERE / absolute;
    vec![
        of("Pressure of air caught for good").unit("Pa").with(
            caught.pressure.pa,
            absolute,
            Share(5e-4),
        ),
        of("Room of air caught for good").unit("L").with(
            caught.air_m3 * 1e3,
            room * 1e3,
            Share(5e-4),
        ),
    ]
}

validated! {
    Unsteady:
        a_line_filling_against_trapped_air_turns_back_when_an_independent_integration_does,
        a_line_shut_at_its_upper_end_hangs_as_far_as_boyle_lets_it,
        air_caught_in_a_dead_leg_comes_to_rest_at_the_pressure_of_its_mouth;
}

/// What leaves the one tank enters the other or is in the line: a run whose volumes do not balance to 1e-9 is refused.
#[test]
fn a_dry_line_between_two_tanks_fills_and_counts_each_mouth_once() {
    for (bore, length) in [(0.01, 49.0), (0.0036, 0.2)] {
        let mut sketch = Sketch::default();
        let (high, low) = (sketch.tank("high", 3.1), sketch.tank("low", 0.2));
        let from = sketch.tank_node("from", high, 0.0);
        let to = sketch.tank_node("to", low, 0.0);
        let line = sketch.line("line", from, to, Line::plain(bore, length));
        let moved = stands(sketch.finish(), line, liquid(998.2, 1e-3), 2.0, 0.05);
        assert!(moved.liquid_error < 1e-9, "{}", moved.liquid_error);
    }
}
