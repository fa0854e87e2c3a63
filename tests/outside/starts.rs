//! What a run starts from: flow that is there already, air under pressure; nodes kept at a pressure; pumps that displace.

use crate::support::{G, root};
use approx::assert_relative_eq;
use sim_core::plumbing::Line;
use sim_core::scenario::{NoFiles, Scenario, expand, read};
use sim_core::simulation::{Record, run};

const DENSITY: f64 = 1000.0;
const ATMOSPHERE_PA: f64 = 101_325.0;

const HEAD: &str = r#"
[liquid]
density = "1000 kg/m3"
viscosity = "1 mPa s"
[model]
velocity_head = false
dispersion = false
laminar_tail = false
longest_move = "0.02 s"
"#;

/// What `text` behind [`HEAD`] says, which its long form says too.
fn scenario(text: &str) -> Scenario {
    let scenario = read(&format!("{HEAD}{text}"), &NoFiles).unwrap_or_else(|f| panic!("{f:#?}"));
    let again = read(&expand(&scenario), &NoFiles).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!(again, scenario, "read back");
    scenario
}

fn record(scenario: &Scenario) -> Record {
    run(&scenario.machine, &scenario.course).unwrap()
}

/// Two nodes kept at 3 bar and 1 bar, 2 m apart in height, and a line between them.
const KEPT: &str = r#"
[node.high]
pressure = "3 bar"
elevation = "2 m"
[node.low]
pressure = "1 bar"
[line.between]
from = "high"
to = "low"
bore = "20 mm"
length = "25 m"
friction = 0.03
[record]
moments = 10000
[probe.half]
line = "between"
distance = "12.5 m"
"#;

/// Flow between both by Darcy (1857) and Weisbach (1845), m3/s: `dp + rho g dz = f L/D rho v2/2`, computed by hand.
fn by_hand() -> f64 {
    let drive = 2e5 + DENSITY * G * 2.0;
    let velocity = (2.0 * drive / (0.03 * 25.0 / 0.02 * DENSITY)).sqrt();
    velocity * Line::plain(0.02, 1.0).area_m2()
}

#[test]
fn nodes_kept_at_a_pressure_drive_what_darcy_and_weisbach_say() {
    let scenario = scenario(KEPT);
    let record = record(&scenario);
    let end = &record.steps[0].end;
    assert_relative_eq!(end.flow_m3_s[0], by_hand(), max_relative = 1e-6);
    for (name, pa) in [("high", 3e5), ("low", 1e5)] {
        let node = scenario.machine.plumbing.nodes.iter().position(|node| node.name == name);
        assert_relative_eq!(end.total_pressure_pa[node.unwrap()], pa, max_relative = 1e-9);
    }
}

/// Source: plug flow at a constant rate: new liquid is half way after half the line's volume over the flow, from the first moment on.
#[test]
fn a_run_that_starts_flowing_has_no_run_up() {
    let step = "[[step]]\ndo = \"spray\"\nfor = \"9 s\"\n";
    let flowing = record(&scenario(&format!("{KEPT}[start]\nflow = \"established\"\n{step}")));
    let rest = record(&scenario(&format!("{KEPT}{step}")));
    let half_m3 = 0.5 * Line::plain(0.02, 25.0).volume_m3();
    let arrives = |record: &Record| {
        let samples = &record.steps[0].moved.as_ref().unwrap().samples;
        samples.iter().find(|sample| sample.probes[0].concentration > 0.5).unwrap().time_s
    };
    let moved = flowing.steps[0].moved.as_ref().unwrap();
    for sample in &moved.samples {
        assert_relative_eq!(f64::from(sample.flows_m3_s[0]), by_hand(), max_relative = 1e-5);
    }
    assert_relative_eq!(arrives(&flowing), half_m3 / by_hand(), epsilon = 0.021);
    assert!(arrives(&rest) > arrives(&flowing) + 0.1, "{} {}", arrives(&rest), arrives(&flowing));
}

/// Source: Boyle (1662): air of a closed pocket at 2 bar pushes its column down until it bears the weight of the liquid over the
/// line's foot alone.
#[test]
fn air_that_starts_under_pressure_expands_by_boyle() {
    let text = r#"
[tank.tank]
surface = "3 m"
[node.foot]
tank = "tank"
[node.under]
[line.pocket]
from = "top"
to = "under"
bore = "42 mm"
length = "0.5 m"
holds = "air"
air_pressure = "2 bar"
[line.column]
from = "under"
to = "foot"
bore = "42 mm"
length = "6 m"
friction = 2.0
[[step]]
do = "stand"
for = "60 s"
"#;
    let scenario = scenario(text);
    let record = record(&scenario);
    let moved = record.steps[0].moved.as_ref().unwrap();
    let left: f64 = moved.air.as_ref().unwrap().left.iter().map(|left| left.liquid_m3()).sum();
    let bore_m3 = |length_m: f64| Line::plain(0.042, length_m).volume_m3();
    let air_m3 = bore_m3(0.5) + bore_m3(6.0) - left;
    let expected = bore_m3(0.5) * (ATMOSPHERE_PA + 2e5) / (ATMOSPHERE_PA + DENSITY * G * 3.0);
    assert_relative_eq!(air_m3, expected, max_relative = 5e-3);
}

/// Source: definition of volumetric efficiency: what is swept less what slips back in proportion to the pressure; through an
/// orifice `q = Cd A sqrt(2 p / rho)`; both solved by hand.
#[test]
fn a_pump_that_displaces_gives_what_it_sweeps_less_its_slip() {
    let text = |more: &str| {
        format!(
            r#"
[tank.tank]
surface = "0 m"
[node.in]
tank = "tank"
[node.out]
tank = "tank"
[pump.pump]
from = "in"
to = "between"
displacement = "0.2 L"
rotation = "540 /min"
slip = "4 %"
slip_at = "20 bar"
[orifice.jet]
from = "between"
to = "out"
bore = "9 mm"
discharge_coefficient = 0.65
{more}
"#
        )
    };
    let area_m2 = std::f64::consts::PI * 0.009f64.powi(2) / 4.0;
    let drop_pa = |q: f64| 0.5 * DENSITY * (q / (0.65 * area_m2)).powi(2);
    let swept = 0.2e-3 * 9.0;
    let flow_at = |speed: f64| {
        let off = |q: f64| q - swept * (speed - 0.04 * drop_pa(q) / 20e5);
        root(0.0, 2.0 * swept, off)
    };
    for speed in [1.0, 0.6] {
        let step = format!("[[step]]\ndo = \"spray\"\npump = \"{} %\"", 100.0 * speed);
        let end = record(&scenario(&text(&step))).steps.remove(0).end;
        assert_relative_eq!(end.flow_m3_s[1], flow_at(speed), max_relative = 1e-6);
    }
    // Held at 8 bar by its speed.
    let control = "[control]\nhold = \"8 bar\"\nat = \"between\"\n";
    let end = record(&scenario(&text(control))).steps.remove(0).end;
    let flow = 0.65 * area_m2 * (2.0 * 8e5 / DENSITY).sqrt();
    let speed = flow / swept + 0.04 * 8e5 / 20e5;
    assert_relative_eq!(end.flow_m3_s[1], flow, max_relative = 1e-6);
    assert_relative_eq!(end.actuator[0].value, speed, max_relative = 1e-6);
}
