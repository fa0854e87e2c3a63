//! Readings of a machine that is not as it should be: which fault explains them?
//!
//!     cargo run -p sim-core --example diagnose

use sim_core::diagnosis::{diagnose, next};
use sim_core::scenario::{Files, read, read_readings};
use std::error::Error;
use std::io::Write as _;

const MACHINE: &str = r#"
    [tank]
    holds = "600 L"
    [pump]
    points = [["0 L/min", "6 bar"], ["80 L/min", "5 bar"], ["160 L/min", "3 bar"]]
    suction = { bore = "38 mm", length = "2 m" }
    [boom]
    width = "12 m"
    sections = 3
    tips_per_section = 8
    tube = { bore = "20 mm", material = "stainless" }
    [supply]
    main = { bore = "25 mm", length = "3 m" }
    hose = { bore = "19 mm", losses = ["elbow 90", "barb"] }
    section_valve = { kv = "6 m3/h" }
    [tips]
    size = "03"
    [control]
    hold = "2.5 bar"
"#;

const READINGS: &str = r#"
    [accuracy]
    gauge = "1 %"
    catch = "1 %"
    [[state]]
    name = "spraying"
    hold = "2.5 bar"
    gauge = [{ at = "header", reads = "2.5 bar" }, { at = "section 2 far end", reads = "2.48 bar" }]
    catch = [
        { tip = "1-04", flow = "1.08 L/min" },
        { tip = "2-04", flow = "1.25 L/min" },
        { tip = "2-06", flow = "1.25 L/min" },
        { tip = "3-04", flow = "1.09 L/min" },
    ]
"#;

/// This scenario names no file.
struct NoFiles;

impl Files for NoFiles {
    fn read(&self, _path: &str) -> Result<String, String> {
        Err("no such file".into())
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let said = |faults: Vec<sim_core::scenario::Fault>| {
        faults.into_iter().map(|fault| fault.message).collect::<Vec<_>>().join("; ")
    };
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
