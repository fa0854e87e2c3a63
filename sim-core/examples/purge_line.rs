//! One line blown empty by compressed air: what returns, what stays on its wall.
//!
//!     cargo run -p sim-core --example purge_line
//!
//! Compressed air hurts people: this is a calculation, not a procedure.

use sim_core::fluids::water;
use sim_core::plumbing::{AirSupply, Line, Machine, Sketch};
use sim_core::procedure::{Course, Step};
use sim_core::{findings, scenario::Scenario, simulation};
use std::error::Error;
use std::io::Write as _;

fn main() -> Result<(), Box<dyn Error>> {
    // A hose of 20 m and 25 mm that ends in a tank, air at its other end.
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", 0.0);
    let (start, end) = (sketch.node("start", 0.2), sketch.tank_node("end", tank, 0.2));
    sketch.line("hose", start, end, Line::plain(0.025, 20.0));
    sketch.plumbing_mut().air = Some(AirSupply {
        receiver_m3: 0.02,
        charged_to_pa: 6e5,
        free_air_m3_s: 70.0 / 6e4,
        ..AirSupply::regulated(0.5e5, 2e-8)
    });
    let machine = Machine::from(sketch.finish());
    let blow = Step::purge(&machine, start).lasts(20.0);
    let scenario = Scenario::new(machine, Course::new(water(20.0), vec![blow]));
    let record = simulation::run(&scenario.machine, &scenario.course)?;
    let findings = findings::of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
    let purge = findings[0].purge.as_ref().ok_or("nothing was purged")?;
    let litres = |m3: f64| 1e3 * m3;
    let [returned, held] = [purge.returned_m3, purge.at_start_m3].map(litres);
    let [wall, air] = [purge.residual.wall_film_m3, purge.free_air_m3].map(litres);
    let mut out = std::io::stdout();
    writeln!(out, "{returned:.2} L of {held:.2} L return, {wall:.2} L remain as wall film.")?;
    writeln!(out, "It takes {air:.0} L of free air.")?;
    Ok(())
}
