//! A scenario's text, run through time: when new liquid stands at the tips.
//!
//!     cargo run -p sim-core --example priming

use sim_core::scenario::{Files, read};
use sim_core::{findings, simulation};
use std::error::Error;
use std::io::Write as _;

const SCENARIO: &str = r#"
    title = "Three sections, primed by spraying"
    [tank]
    holds = "600 L"
    [pump]
    points = [["0 L/min", "6 bar"], ["80 L/min", "5 bar"], ["160 L/min", "3 bar"]]
    suction = { bore = "38 mm", length = "2 m" }
    [boom]
    width = "12 m"
    sections = 3
    tips_per_section = 8
    feed = "centre"
    stub = "60 mm"
    tube = { bore = "20 mm", material = "stainless" }
    [supply]
    main = { bore = "25 mm", length = "3 m" }
    hose = { bore = "19 mm", losses = ["elbow 90", "barb"] }
    section_valve = { kv = "6 m3/h" }
    [tips]
    size = "03"
    [control]
    hold = "2.5 bar"
    [[step]]
    do = "prime"
"#;

/// This scenario names no file.
struct NoFiles;

impl Files for NoFiles {
    fn read(&self, _path: &str) -> Result<String, String> {
        Err("no such file".into())
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let scenario = read(SCENARIO, &NoFiles).map_err(|faults| {
        let said: Vec<String> = faults.into_iter().map(|fault| fault.message).collect();
        said.join("; ")
    })?;
    let record = simulation::run(&scenario)?;
    let findings = findings::of_run(&scenario, &record);
    let priming = findings[0].priming.as_ref().ok_or("the step lasts no time")?;
    let seconds = |time: Option<f64>| time.map_or("not yet".into(), |s| format!("{s:.1} s"));
    let mut text = String::new();
    for section in &priming.sections {
        let name = &scenario.plumbing.sections[section.section.index()].name;
        let (first, last) = (seconds(section.first_s), seconds(section.last_s));
        text += &format!("section {name}: first tip full after {first}, last after {last}\n");
    }
    let thin = 1e3 * priming.sprayed_weak_m3;
    text += &format!("{thin:.1} L were sprayed below full strength.\n");
    Ok(std::io::stdout().write_all(text.as_bytes())?)
}
