//! Tanks that fill, drain and run dry.

use crate::support::reference_water;
use crate::validation::sources::STIRRED;
use crate::validation::{Row, Share, validated};
use sim_core::hydraulics::FlowState;
use sim_core::plumbing::Sketch;
use sim_core::procedure::{ModelOptions, Transfer};
use sim_core::scenario::{Files, read};
use sim_core::simulation::{Ended, run};
use sim_core::transport::Contents;

/// Strength in a tank of 100 L at full strength that water enters at `enters` L/s and mix leaves at `leaves` L/s, after
/// `seconds` in moves of `dt` s.
fn concentration_after(enters: f64, leaves: f64, seconds: f64, dt: f64) -> f64 {
    let mut sketch = Sketch::default();
    let (tank, water) = (sketch.tank("tank", 1.0), sketch.tank("water", 1.0));
    let drain = sketch.tank("drain", -1.0);
    sketch.tank_node("mouth", tank, 0.0);
    let mut plumbing = sketch.finish();
    plumbing.tanks[0].holds_m3 = Some(0.1);
    plumbing.tanks[1].concentration = Some(0.0);
    let liquid = reference_water();
    let mut contents = Contents::new(&plumbing, &liquid, ModelOptions::default(), 1.0, 1.0);
    let still = FlowState::at_rest(&plumbing);
    contents.set_flows(&still);
    let transfers = [
        Transfer { from: water, to: tank, flow_m3_s: 1e-3 * enters },
        Transfer { from: tank, to: drain, flow_m3_s: 1e-3 * leaves },
    ];
    (0..(seconds / dt).round() as usize).for_each(|_| {
        contents.advance(&still, &transfers, dt);
    });
    contents.tank_concentration(tank)
}

/// Source: balance of a well-stirred tank with constant flows in and out (O. Levenspiel, *Chemical Reaction Engineering*):
/// `C/C0 = (V0/(V0 + (qin - qout) t))^(qin/(qin - qout))`, at constant volume `exp(-q t/V)`. In moves of 1 s and of 25 s.
fn a_stirred_tank_thins_out_as_its_balance_says() -> Vec<Row> {
    let of = |at: &'static str| {
        let row = Row::new("Strength of a tank that water enters", at, &[STIRRED]).computed();
        row.because("exact where flows stay the same, whatever the moves")
    };
    let mut rows = [
        of("100 L, 1 L/s in and out, after 25 to 200 s"),
        of("100 L, filled at 2 L/s and drained at 1, after 25 to 200 s"),
        of("100 L, filled at 1 L/s and drained at 1.4, after 25 to 200 s"),
    ];
    for dt in [1.0, 25.0] {
        for time in [25.0, 100.0, 200.0] {
            rows[0].near(
                concentration_after(1.0, 1.0, time, dt),
                (-time / 100.0).exp(),
                Share(1e-9),
            );
            let swollen: f64 = 100.0 / (100.0 + time);
            rows[1].near(concentration_after(2.0, 1.0, time, dt), swollen.powi(2), Share(1e-9));
            let shrunk: f64 = 100.0 / (100.0 - 0.4 * time);
            let wanted = shrunk.powf(1.0 / -0.4);
            rows[2].near(concentration_after(1.0, 1.4, time, dt), wanted, Share(1e-9));
        }
    }
    rows.into()
}

validated! {
    Transport: a_stirred_tank_thins_out_as_its_balance_says;
}

/// Files of a scenario that names none.
struct NoFiles;

impl Files for NoFiles {
    fn read(&self, path: &str) -> Result<String, String> {
        Err(format!("no file {path}"))
    }
}

/// A small boom with agitation that sprays its tank out: lines hold water, so what comes back is weaker than the tank.
const SPRAYED_OUT: &str = r#"
title = "Spray the tank out"

[tank]
holds = "15 L"

[pump]
points = [["0 L/min", "6 bar"], ["70 L/min", "5 bar"], ["140 L/min", "3 bar"]]
suction = { bore = "32 mm", length = "1.5 m" }

[boom]
width = "9 m"
sections = 3
tips_per_section = 6
tube = { bore = "19 mm", material = "stainless" }

[supply]
main = { bore = "25 mm", length = "2 m" }
hose = { bore = "19 mm", losses = ["elbow 90", "barb"] }
section_valve = { kv = "6 m3/h" }
agitation = { orifice = "7 mm" }

[tips]
size = "03"

[control]
hold = "2.5 bar"

[[step]]
name = "spray out"
do = "spray"
for = "10 min"
until = "tank empty"
"#;

/// A tank holds a mixture of what it held and what came in: never less than the weaker, never more than the stronger.
#[test]
fn a_tank_that_runs_dry_keeps_a_concentration_between_none_and_full() {
    let scenario = read(SPRAYED_OUT, &NoFiles).unwrap();
    let record = run(&scenario.machine, &scenario.course).unwrap();
    let moved = record.steps[0].moved.as_ref().unwrap();
    assert!(matches!(moved.ended, Ended::TankEmpty(_)), "{:?}", moved.ended);
    assert!(moved.tank_m3[0].unwrap() < 1e-6);
    for concentration in moved.tank_concentration.iter().chain(&moved.tip_concentration) {
        assert!((0.0..=1.0).contains(concentration), "{concentration}");
    }
    for sample in &moved.samples {
        // Parts that hold nothing have none.
        let held = sample.lines.iter().filter(|concentration| !concentration.is_nan());
        for concentration in sample.tanks.iter().chain(&sample.tips).chain(held) {
            assert!(
                (0.0..=1.0 + 1e-6).contains(concentration),
                "{concentration} at {} s",
                sample.time_s
            );
        }
    }
    assert!(moved.product_error < 1e-10, "{}", moved.product_error);
}
