//! The commissioning sheet: what it expects is what runs find, and its bands hold runs with inputs at the ends of their spreads.

use super::{ONE_END, Sheet};
use checks::command::millstream;
use checks::{put_beside_data, root};
use serde_json::Value;

/// Readings to expect of a shipped scenario changed by `change`: by state and place, what, from and to.
fn readings_to_expect(change: impl Fn(String) -> String) -> Vec<(String, String, [f64; 3])> {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(root().join(ONE_END)).unwrap();
    let file = put_beside_data(&change(text), folder.path());
    let out = folder.path().join("out").to_string_lossy().into_owned();
    let printed =
        millstream(&["papers", &file.to_string_lossy(), "--only", "commissioning", "--out", &out]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let sheet =
        Sheet::of(&std::fs::read_to_string(folder.path().join("out/commissioning.csv")).unwrap());
    let row = |row: &csv::StringRecord| {
        let text = |head: &str| row[sheet.column(head)].to_owned();
        let number = |head: &str| text(head).parse::<f64>().unwrap();
        (text("state"), text("at"), ["expected", "from", "to"].map(number))
    };
    sheet.0[1..].iter().map(row).collect()
}

/// Pressures of section ends (bar) and flows of tips (L/min) that a run of the scenario, changed by `change`, finds in its steps,
/// as the sheet names them.
fn found_in_a_run(change: impl Fn(String) -> String) -> Vec<(String, String, f64)> {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(root().join(ONE_END)).unwrap();
    let file = put_beside_data(&change(text), folder.path());
    let printed = millstream(&["run", &file.to_string_lossy(), "--json"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let summary: Value = serde_json::from_str(&printed.out).unwrap();
    let mut found = Vec::new();
    for step in summary["steps"].as_array().unwrap() {
        let name = step["name"].as_str().unwrap();
        for section in step["findings"]["sections"].as_array().unwrap() {
            let of = section["section"].as_str().unwrap();
            let bar = |key: &str| section[key].as_f64().unwrap() / 1e5;
            found.push((
                name.to_owned(),
                format!("test gauge at the feed end of section {of}"),
                bar("feed_end_pa"),
            ));
            found.push((
                name.to_owned(),
                format!("test gauge at the far end of section {of}"),
                bar("far_end_pa"),
            ));
        }
        for tip in step["findings"]["tips"].as_array().unwrap() {
            let at = format!("catch test of tip {}", tip["tip"].as_str().unwrap());
            found.push((name.to_owned(), at, tip["flow_m3_s"].as_f64().unwrap() * 6e4));
        }
    }
    found
}

fn at_20_degrees(text: String) -> String {
    text.replace("temperature = \"15 degC\"", "temperature = \"20 degC\"")
}

#[test]
fn readings_to_expect_are_what_a_run_with_clean_water_finds() {
    let (expected, found) = (readings_to_expect(|text| text), found_in_a_run(at_20_degrees));
    let mut compared = 0;
    for (state, at, [value, ..]) in &expected {
        let same = found.iter().find(|(step, place, _)| (step, place) == (state, at));
        let Some((.., run)) = same else { continue };
        assert!((value - run).abs() <= 1e-5 * run, "{state}, {at}: {value} for {run}");
        compared += 1;
    }
    // Twelve gauges in each of three states, twelve tips in the two that spray.
    assert_eq!(compared, 3 * 12 + 2 * 12);
}

/// Runs of the scenario with one of the stated spreads at its end, put into the file by hand.
#[test]
fn a_band_holds_what_runs_with_an_input_at_the_end_of_its_spread_find() {
    let expected = readings_to_expect(|text| text);
    // Barbs 0.5 each, elbow 0.9 (the reference page's figures): 1.9 for a hose.
    let hose = |losses: f64| {
        move |text: String| {
            at_20_degrees(text).replace(
                "bore = \"25 mm\", losses = [\"barb\", \"barb\", \"elbow 90\"]",
                &format!("bore = \"25 mm\", losses = {losses}"),
            )
        }
    };
    let valve = |factor: f64| {
        move |text: String| {
            let kv = 9.0 / factor.sqrt();
            at_20_degrees(text).replace(
                "section_valve = { kv = \"9 m3/h\" }",
                &format!("section_valve = {{ kv = \"{kv} m3/h\" }}"),
            )
        }
    };
    let worn = |wear: &'static str| {
        move |text: String| {
            at_20_degrees(text)
                .replace("size = \"04\"\n", &format!("size = \"04\"\nwear = \"{wear}\"\n"))
        }
    };
    let held = |bar: f64| {
        move |text: String| {
            at_20_degrees(text).replace("hold = \"3 bar\"", &format!("hold = \"{bar} bar\""))
        }
    };
    let runs = [
        found_in_a_run(hose(1.9 * 1.3)),
        found_in_a_run(hose(1.9 * 0.7)),
        found_in_a_run(valve(1.3)),
        found_in_a_run(valve(0.7)),
        found_in_a_run(worn("5 %")),
        // A gauge that reads 3 % high holds 3 % less.
        found_in_a_run(held(3.0 / 1.03)),
        found_in_a_run(|text| at_20_degrees(text).replace("20 degC", "10 degC")),
    ];
    for (state, at, [value, low, high]) in &expected {
        let of = |run: &Vec<(String, String, f64)>| {
            run.iter().find(|(step, place, _)| (step, place) == (state, at)).map(|found| found.2)
        };
        let Some(values) = runs.iter().map(of).collect::<Option<Vec<f64>>>() else { continue };
        let inside = |found: &f64| (low - 1e-6..=high + 1e-6).contains(found);
        assert!(values.iter().all(inside), "{state}, {at}: {values:?} not in {low} to {high}");
        // As wide as these together, inputs independent, and no wider than a fifth of the reading.
        let below: f64 = values.iter().map(|found| (value - found).max(0.0).powi(2)).sum();
        assert!(
            value - low >= 0.7 * below.sqrt(),
            "{state}, {at}: {low} for {value} less {}",
            below.sqrt()
        );
        assert!(high - low < 0.4 * value, "{state}, {at}: {low} to {high}");
    }
}
