//! One line blown empty by compressed air: what comes home, what stays on its wall.
//!
//!     cargo run -p sim-core --example purge_line
//!
//! Compressed air hurts people: this is a calculation, not a procedure.

use sim_core::fluids::water;
use sim_core::plumbing::{AirEntry, AirSupply, Line, NodeId, Plumbing, Sketch};
use sim_core::procedure::{Action, Change, Lasts, Purge, Settings, Step, Until};
use sim_core::scenario::Scenario;
use sim_core::{findings, simulation};
use std::error::Error;
use std::io::Write as _;

/// A hose of 20 m and 25 mm that ends in a tank, air at its other end.
fn hose() -> (Plumbing, NodeId) {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", 0.0);
    let (start, end) = (sketch.node("start", 0.2), sketch.tank_node("end", tank, 0.2));
    sketch.line("hose", start, end, Line::plain(0.025, 20.0));
    sketch.plumbing_mut().air = Some(AirSupply {
        regulated_pa: 0.5e5,
        receiver_m3: 0.02,
        charged_to_pa: 6e5,
        free_air_m3_s: 70.0 / 6e4,
        // 2 L/(s bar)
        conductance_m3_s_pa: 2e-8,
        critical_ratio: 0.3,
        relief_pa: None,
        entries: vec![AirEntry { name: "start".into(), node: start }],
    });
    (sketch.finish(), start)
}

fn main() -> Result<(), Box<dyn Error>> {
    let (plumbing, node) = hose();
    let blow = Step {
        name: "blow".into(),
        action: Action::Purge,
        settings: Settings::of(&plumbing),
        controls: Vec::new(),
        lasts: Some(Lasts { most_s: 20.0, until: Until::Time }),
        change: Change::default(),
        loads: Vec::new(),
        transfers: Vec::new(),
        pass: None,
        purge: Some(Purge { node, pulse: None }),
    };
    let scenario = Scenario::plain(plumbing, water(20.0), vec![blow]);
    let record = simulation::run(&scenario)?;
    let findings = findings::of_run(&scenario, &record);
    let purge = findings[0].purge.as_ref().ok_or("nothing was purged")?;
    let litres = |m3: f64| 1e3 * m3;
    let through = record.steps[0].moved.as_ref().and_then(|moved| moved.air.as_ref());
    let through = through.and_then(|air| air.broken_through_s[0]);
    let mut text = format!(
        "{:.2} L of {:.2} L come home, {:.2} L stay on the wall.\n",
        litres(purge.returned_m3),
        litres(purge.at_start_m3),
        litres(purge.residual.wall_film_m3),
    );
    if let Some(time_s) = through {
        text += &format!("Air comes through after {time_s:.1} s.\n");
    }
    text += &format!("It takes {:.0} L of free air.\n", litres(purge.free_air_m3));
    Ok(std::io::stdout().write_all(text.as_bytes())?)
}
