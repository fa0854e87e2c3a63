//! Volumes of a wide boom, against figures of the trade.

use checks::command::millstream;
use checks::root;
use serde_json::Value;

const GALLON_M3: f64 = 3.785_411_784e-3;

/// Boom volume: Purdue Extension, Removing Herbicide Residues from Agricultural Application Equipment, gives about
/// 35 US gallons for a 120 ft boom (feed lines and tubes). Its 25 for 90 ft and 18 for 80 ft are not met by the 90 ft and 80 ft
/// demos, whose section hoses are 1 in wide: they hold 13 and 12. Turnover: common practice, no source: roughly 60 gallons of
/// plumbing at about 55 gal/min turn over in about a minute.
#[test]
fn the_wide_boom_holds_and_turns_over_what_the_trade_says() {
    let file = root().join("scenarios/sableflat-120ft-recirculate.toml");
    let printed = millstream(&["run", &file.to_string_lossy(), "--json"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let summary: Value = serde_json::from_str(&printed.out).unwrap();
    let volume = |side: &str| summary["findings"]["volumes_m3"][side].as_f64().unwrap() / GALLON_M3;
    let boom = volume("feed") + volume("boom");
    assert!((boom / 35.0 - 1.0).abs() < 0.1, "{boom} gal");
    let whole = boom + volume("suction") + volume("return");
    assert!((whole / 60.0 - 1.0).abs() < 0.2, "{whole} gal");
    let turnover = summary["findings"]["priming"]["turnover_s"].as_f64().unwrap();
    assert!((45.0..75.0).contains(&turnover), "{turnover} s");
    // What the record shows: half of what comes back is new before the lines have turned over once, as in any
    // plumbing whose ways back differ in length, and long before two turnovers.
    let lasting = summary["findings"]["through_time"].as_array().unwrap();
    let half = lasting[0]["circulation"]["return_half_s"].as_f64().unwrap();
    assert!(half < 1.2 * turnover, "{half} s");
}
