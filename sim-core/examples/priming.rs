//! A boom built in code, run through time: when new liquid is at the tips.
//!
//!     cargo run -p sim-core --example priming

use sim_core::fluids::water;
use sim_core::plumbing::boom::{Feed, build, example};
use sim_core::procedure::{Control, Course, Step};
use sim_core::{findings, scenario::Scenario, simulation};
use std::error::Error;
use std::io::Write as _;

fn main() -> Result<(), Box<dyn Error>> {
    // Three sections of eight tips, fed in their middle; the lines hold water, the tank mix.
    let machine = build(&example(3, 8, Feed::Centre, false));
    let prime = Step::prime(&machine).holds(Control::pressure(&machine, 2.5e5)?);
    let scenario = Scenario::new(machine, Course::new(water(15.0), vec![prime]));
    let record = simulation::run(&scenario.machine, &scenario.course)?;
    let findings = findings::of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
    let priming = findings[0].priming.as_ref().ok_or("the step lasts no time")?;
    let seconds = |time: Option<f64>| time.map_or("not yet".into(), |s| format!("{s:.1} s"));
    let mut out = std::io::stdout();
    for section in &priming.sections {
        let name = &section.section;
        let (first, last) = (seconds(section.first_s), seconds(section.last_s));
        writeln!(out, "section {name}: first tip full after {first}, last after {last}")?;
    }
    let thin = 1e3 * priming.under_dosed_m3;
    writeln!(out, "{thin:.1} L were sprayed below full strength.")?;
    Ok(())
}
