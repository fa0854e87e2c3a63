//! A boom put together in code, spraying: pressure at every tip.
//!
//!     cargo run -p sim-core --example steady_boom

use sim_core::fluids::water;
use sim_core::hydraulics::Solver;
use sim_core::plumbing::{BranchId, Line, NOMINAL_PRESSURE_PA, Opening, Part, Pump, PumpCurve};
use sim_core::plumbing::{Plumbing, Sketch, Valve, tip_size};
use sim_core::procedure::{Actuator, Control, Held, ModelOptions, Settings};
use std::error::Error;

/// One tube of 12 tips, half a metre apart, fed at its left end through a hose and a valve.
fn machine() -> Result<(Plumbing, BranchId), Box<dyn Error>> {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", 1.2);
    let outlet = sketch.tank_node("outlet", tank, 0.8);
    let (inlet, pressure, feed) =
        (sketch.node("pump-in", 0.5), sketch.node("pump-out", 0.5), sketch.node("feed", 0.5));
    sketch.line("suction", outlet, inlet, Line::plain(0.038, 2.0));
    let curve =
        PumpCurve { flow_m3_s: vec![0.0, 60.0 / 6e4, 120.0 / 6e4], head_m: vec![55.0, 50.0, 38.0] };
    let pump = Pump {
        curve,
        speed: 1.0,
        top_speed: 1.0,
        efficiency: Vec::new(),
        npsh_required: Vec::new(),
    };
    let pump = sketch.branch("pump", inlet, pressure, Part::Pump(pump));
    // 6 m3/h at 1 bar.
    let kv_si = 6.0 / 3600.0 / 1e5f64.sqrt();
    let valve = Valve { kv_si, opening: 1.0, characteristic: Opening::Linear };
    sketch.branch("valve", pressure, feed, Part::Valve(valve));
    let size = tip_size("04").ok_or("no such size")?;
    let mut last = feed;
    for i in 1..=12 {
        let node = sketch.node(&format!("body-{i}"), 0.5);
        let length_m = if i == 1 { 3.0 } else { 0.5 };
        sketch.line(&format!("tube-{i}"), last, node, Line::plain(0.016, length_m));
        sketch.tip(&format!("tip-{i}"), node, size.flow_m3_s(), NOMINAL_PRESSURE_PA);
        last = node;
    }
    sketch.gauge("boom", feed);
    Ok((sketch.finish(), pump))
}

fn main() -> Result<(), Box<dyn Error>> {
    let (plumbing, pump) = machine()?;
    let liquid = water(15.0);
    let gauge = plumbing.gauges[0].node;
    let hold = Control::new(Held::Pressure { node: gauge, pa: 3e5 }, Actuator::PumpSpeed(pump));
    let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
    let now = solver.solve(&Settings::of(&plumbing), &[hold])?;
    let speed = now.actuator[0].value;
    let mut text = format!("The pump runs at {:.0} % to hold 3 bar.\n", 100.0 * speed);
    for (tip, (pa, flow)) in
        plumbing.tips.iter().zip(now.tip_pressure_pa.iter().zip(&now.tip_flow_m3_s))
    {
        text += &format!("{:7} {:.3} bar {:.3} L/min\n", tip.name, pa / 1e5, flow * 6e4);
    }
    print(&text)
}

/// Examples print; the library does not.
fn print(text: &str) -> Result<(), Box<dyn Error>> {
    use std::io::Write as _;
    Ok(std::io::stdout().write_all(text.as_bytes())?)
}
