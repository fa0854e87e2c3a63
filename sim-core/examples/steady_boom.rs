//! A boom put together in code, spraying: pressure at every tip.
//!
//!     cargo run -p sim-core --example steady_boom

use sim_core::fluids::water;
use sim_core::hydraulics::Solver;
use sim_core::plumbing::{Line, Machine, NOMINAL_PRESSURE_PA, Part, Pump, Sketch};
use sim_core::procedure::{Control, ModelOptions, Step};
use std::error::Error;
use std::io::Write as _;

fn main() -> Result<(), Box<dyn Error>> {
    // One tube of 12 tips of size 04, half a metre apart, fed at its left end through a hose of 3 m.
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", 1.2);
    let outlet = sketch.tank_node("outlet", tank, 0.8);
    let (inlet, feed) = (sketch.node("pump-in", 0.5), sketch.node("pump-out", 0.5));
    sketch.line("suction", outlet, inlet, Line::plain(0.038, 2.0));
    let pump = Pump::plain(&[(0.0, 55.0), (60.0 / 6e4, 50.0), (120.0 / 6e4, 38.0)]);
    sketch.branch("pump", inlet, feed, Part::Pump(pump));
    sketch.gauge("boom", feed);
    let mut last = feed;
    for i in 1..=12 {
        let node = sketch.node(&format!("body-{i}"), 0.5);
        let length_m = if i == 1 { 3.0 } else { 0.5 };
        sketch.line(&format!("tube-{i}"), last, node, Line::plain(0.016, length_m));
        sketch.tip(&format!("tip-{i}"), node, 1.6 / 6e4, NOMINAL_PRESSURE_PA);
        last = node;
    }
    let (machine, liquid) = (Machine::from(sketch.finish()), water(15.0));
    let spray = Step::spray(&machine).holds(Control::pressure(&machine, 3e5)?);
    let mut solver = Solver::new(&machine.plumbing, &liquid, ModelOptions::default());
    let now = solver.solve(&spray.settings, &spray.controls)?;
    let mut out = std::io::stdout();
    writeln!(out, "The pump runs at {:.0} % to hold 3 bar.", 100.0 * now.actuator[0].value)?;
    for (tip, pa) in machine.plumbing.tips.iter().zip(&now.tip_pressure_pa) {
        writeln!(out, "{:7} {:.3} bar", tip.name, pa / 1e5)?;
    }
    Ok(())
}
