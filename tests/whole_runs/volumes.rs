//! Volumes of a wide boom, against figures of the trade.

use checks::command::millstream;
use serde_json::Value;

const GALLON_M3: f64 = 3.785_411_784e-3;

/// A boom of 120 ft as plain as it gets, with the hoses that a wide boom has.
const WIDE: &str = r#"
[tank]
holds = "1000 gal"
[pump]
points = [["0 gal/min", "90 psi"], ["100 gal/min", "80 psi"], ["200 gal/min", "50 psi"]]
suction = { bore = "3 in", length = "10 ft" }
[control]
hold = "40 psi"
[boom]
width = "120 ft"
spacing = "20 in"
sections = 12
tips_per_section = 6
return = true
tube = { bore = "7/8 in", material = "stainless" }
[supply]
main = { bore = "2 in", length = "30 ft" }
hose = { bore = "1 1/4 in", losses = ["barb", "barb"] }
section_valve = { kv = "12 cv" }
[return_path]
hose = { bore = "1 in", losses = ["barb", "barb"] }
main = { bore = "2 in", length = "30 ft" }
valve = { kv = "30 cv" }
[tips]
size = "06"
[[step]]
do = "circulate"
for = "150 s"
hold = "55 gal/min"
"#;

fn summary() -> Value {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("wide.toml");
    std::fs::write(&file, WIDE).unwrap();
    let printed = millstream(&["run", &file.to_string_lossy(), "--json"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    serde_json::from_str(&printed.out).unwrap()
}

/// US gallons in the lines of `sides`.
fn gallons(summary: &Value, sides: &[&str]) -> f64 {
    let volumes = &summary["volumes_m3"];
    sides.iter().map(|side| volumes[side].as_f64().unwrap() / GALLON_M3).sum()
}

/// Source: Purdue Extension PPP-108, Removing Herbicide Residues from Agricultural Application Equipment, gives about 35 US
/// gallons for feed lines and tubes of a 120 ft boom; read second-hand, as another university's extension quotes it. It
/// gives 25 for 90 ft and 18 for 80 ft, so that the volume over the width differs by a quarter between its own booms.
#[test]
fn feed_lines_and_tubes_of_a_wide_boom_hold_what_a_table_says() {
    let boom = gallons(&summary(), &["feed", "boom"]);
    assert!((boom / 35.0 - 1.0).abs() < 0.1, "{boom} gal");
}

/// Common practice, no source: roughly 60 US gallons of plumbing at about 55 gal/min turn over in about a minute.
#[test]
fn a_wide_boom_turns_over_in_about_a_minute() {
    let summary = summary();
    let whole = gallons(&summary, &["suction", "feed", "boom", "return"]);
    assert!((whole / 60.0 - 1.0).abs() < 0.2, "{whole} gal");
    let findings = &summary["steps"][0]["findings"];
    let turnover = findings["priming"]["turnover_s"].as_f64().unwrap();
    assert!((45.0..75.0).contains(&turnover), "{turnover} s");
    // Half of what comes back is new before the lines have turned over once, as in any plumbing whose ways back differ in
    // length, and long before two turnovers.
    let half = findings["circulation"]["return_half_s"].as_f64().unwrap();
    assert!(half < 1.2 * turnover, "{half} s");
}
