//! A scenario's text, run through time: when new liquid stands at the tips.
//!
//!     cargo run -p sim-core --example priming

mod machine;

use machine::{MACHINE, said};
use sim_core::scenario::{NoFiles, read};
use sim_core::{findings, simulation};
use std::error::Error;
use std::io::Write as _;

fn main() -> Result<(), Box<dyn Error>> {
    let text = format!("{MACHINE}\n[[step]]\ndo = \"prime\"\n");
    let scenario = read(&text, &NoFiles).map_err(said)?;
    let record = simulation::run(&scenario)?;
    let findings = findings::of_run(&scenario, &record);
    let priming = findings[0].priming.as_ref().ok_or("the step lasts no time")?;
    let seconds = |time: Option<f64>| time.map_or("not yet".into(), |s| format!("{s:.1} s"));
    let mut text = String::new();
    for section in &priming.sections {
        let name = &section.section;
        let (first, last) = (seconds(section.first_s), seconds(section.last_s));
        text += &format!("section {name}: first tip full after {first}, last after {last}\n");
    }
    let thin = 1e3 * priming.under_dosed_m3;
    text += &format!("{thin:.1} L were sprayed below full strength.\n");
    Ok(std::io::stdout().write_all(text.as_bytes())?)
}
