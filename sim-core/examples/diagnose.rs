//! Readings of a machine that is not as it should be: which fault explains them?
//!
//!     cargo run -p sim-core --example diagnose

mod machine;

use machine::{MACHINE, said};
use sim_core::diagnosis::{Fitted, diagnose, next};
use sim_core::scenario::{NoFiles, read, read_readings};
use std::error::Error;
use std::io::Write as _;

const READINGS: &str = r#"
    accuracy = { gauge = "1 %", catch = "1 %" }
    [[state]]
    name = "spraying"
    hold = "2.5 bar"
    gauge = [{ at = "header", reads = "2.5 bar" }, { at = "section 2 left end", reads = "2.48 bar" }]
    catch = [
        { tip = "1-04", flow = "1.08 L/min" },
        { tip = "2-04", flow = "1.25 L/min" },
        { tip = "2-06", flow = "1.25 L/min" },
        { tip = "3-04", flow = "1.09 L/min" },
    ]
"#;

fn main() -> Result<(), Box<dyn Error>> {
    let scenario = read(MACHINE, &NoFiles).map_err(said)?;
    let readings = read_readings(READINGS, false, &scenario).map_err(said)?;
    let diagnosis = diagnose(&scenario, &readings)?;
    let mut out = std::io::stdout();
    for found in diagnosis.explanations.iter().take(3) {
        let words = |fitted: &Fitted| fitted.fault.words(&scenario.machine.plumbing);
        let words: Vec<String> = found.faults.iter().map(words).collect();
        let words = if words.is_empty() { "no fault".into() } else { words.join(" and ") };
        writeln!(out, "{:5.1} %  {words}", 100.0 * found.probability)?;
    }
    let more = next(&scenario, &readings, &diagnosis)?.len();
    Ok(writeln!(out, "{more} readings would tell more.")?)
}
