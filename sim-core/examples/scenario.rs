//! A scenario's text, run: pressures along the boom and what the limits say.
//!
//!     cargo run -p sim-core --example scenario

mod machine;

use machine::{MACHINE, said};
use sim_core::scenario::{NoFiles, read};
use sim_core::{findings, simulation};
use std::error::Error;
use std::io::Write as _;

fn main() -> Result<(), Box<dyn Error>> {
    let scenario = read(MACHINE, &NoFiles).map_err(said)?;
    let record = simulation::run(&scenario.machine, &scenario.course)?;
    let findings = findings::of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
    let boom = findings[0].boom.as_ref().ok_or("no tip runs")?;
    let mut out = std::io::stdout();
    writeln!(
        out,
        "{:.2} bar at the tips on average, {:.1} % between the lowest and the highest.",
        boom.mean_pressure_pa / 1e5,
        100.0 * boom.pressure_variation_share
    )?;
    let missed = findings[0].verdicts.iter().filter(|verdict| !verdict.met).count();
    Ok(writeln!(out, "{missed} of {} limits are not met.", findings[0].verdicts.len())?)
}
