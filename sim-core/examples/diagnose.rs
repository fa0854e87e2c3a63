//! Readings of a machine that is not as it should be: which fault explains them?
//!
//!     cargo run -p sim-core --example diagnose

mod machine;

use machine::{MACHINE, said};
use sim_core::diagnosis::{diagnose, next};
use sim_core::scenario::{NoFiles, read, read_readings};
use std::error::Error;
use std::io::Write as _;

const READINGS: &str = r#"
    [accuracy]
    gauge = "1 %"
    catch = "1 %"
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
    let machine = read(MACHINE, &NoFiles).map_err(said)?;
    let readings = read_readings(READINGS, false, &machine).map_err(said)?;
    let diagnosis = diagnose(&machine, &readings)?;
    let mut text = String::new();
    for explanation in diagnosis.explanations.iter().take(3) {
        let faults = explanation.faults.iter().map(|fitted| fitted.fault.words(&machine.plumbing));
        let words: Vec<String> = faults.collect();
        let words = if words.is_empty() { "no fault".into() } else { words.join(" and ") };
        text += &format!("{:5.1} %  {words}\n", 100.0 * explanation.probability);
    }
    let measurements = next(&machine, &readings, &diagnosis)?;
    text += &format!("{} readings would tell more.\n", measurements.len());
    Ok(std::io::stdout().write_all(text.as_bytes())?)
}
