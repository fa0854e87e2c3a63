//! How far the figures of a run may be off.

use checks::command::{Printed, millstream};
use checks::root;
use serde_json::Value;
use std::path::Path;

const MACHINE: &str = "scenarios/larkfield-12m.toml";

fn uncertain(machine: &str, more: &[&str]) -> Printed {
    let machine = root().join(machine).to_string_lossy().into_owned();
    millstream(&[&["run", &machine, "--uncertain"], more].concat())
}

/// The same with a study of `text`, which is put into `place`.
fn studied(text: &str, place: &Path, more: &[&str]) -> Printed {
    let file = place.join("study.toml");
    std::fs::write(&file, text).unwrap();
    uncertain(MACHINE, &[&["--study", &file.to_string_lossy()], more].concat())
}

fn json(printed: &Printed) -> Value {
    assert_eq!(printed.code, 0, "{}", printed.err);
    serde_json::from_str(&printed.out).unwrap()
}

fn band<'v>(document: &'v Value, key: &str) -> &'v Value {
    document["bands"].as_array().unwrap().iter().find(|band| band["key"] == key).unwrap()
}

/// Inputs as the study format names them, but those of `but`, known exactly.
fn all_known(but: &str) -> String {
    let names = sim_core::scenario::DefaultInput::ALL.iter().map(|input| input.name());
    let known = |name| format!("[[uncertain]]\ninput = \"{name}\"\nknown = true\n");
    names.filter(|name| *name != but).map(known).collect()
}

#[test]
fn files_hold_what_the_draws_were_and_are_the_same_on_any_number_of_threads() {
    let place = tempfile::tempdir().unwrap();
    let written = |threads: usize| {
        let out = place.path().join(threads.to_string());
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let run = || uncertain(MACHINE, &["--draws", "48", "--out", &out.to_string_lossy()]);
        let printed = pool.install(run);
        assert_eq!(printed.code, 0, "{}", printed.err);
        ["uncertainty.json", "draws.csv", "uncertainty.svg", "report.html"]
            .map(|name| std::fs::read_to_string(out.join(name)).unwrap())
    };
    let one = written(1);
    assert_eq!(one, written(3));
    let document: Value = serde_json::from_str(&one[0]).unwrap();
    let mut rows = csv::Reader::from_reader(one[1].as_bytes());
    let key = "mean_tip_pressure_pa";
    let column = rows.headers().unwrap().iter().position(|head| head == key).unwrap();
    let mut values: Vec<f64> =
        rows.records().map(|row| row.unwrap()[column].parse().unwrap()).collect();
    values.sort_by(f64::total_cmp);
    assert_eq!(values.len(), 48);
    // 5 % of 47 gaps are 2.35 of them.
    let low = values[2] + 0.35 * (values[3] - values[2]);
    assert!((band(&document, key)["low"].as_f64().unwrap() - low).abs() < 1e-6);
    assert!(one[3].contains("how likely limits are met"));
}

/// The header is held at what is drawn between 2.8 and 3.2 bar and all else is known: 5 and 95 of 100 are below 2.82 and 3.18 bar
/// there, and tips follow in proportion.
#[test]
fn a_setting_alone_moves_what_hangs_on_it_by_hand() {
    let place = tempfile::tempdir().unwrap();
    let key = "[[uncertain]]\nkey = \"control.hold\"\nbetween = [\"2.8 bar\", \"3.2 bar\"]\n";
    let found = json(&studied(&(all_known("") + key), place.path(), &["--draws", "256", "--json"]));
    assert_eq!(found["inputs"].as_array().unwrap().len(), 1);
    let pressure = band(&found, "mean_tip_pressure_pa");
    let number = |key: &str| pressure[key].as_f64().unwrap();
    assert!((number("low") / number("middle") - 2.82 / 3.0).abs() < 2e-3);
    assert!((number("high") / number("middle") - 3.18 / 3.0).abs() < 2e-3);
    let known = json(&studied(&all_known("all_tips"), place.path(), &["--draws", "64", "--json"]));
    assert_eq!(known["inputs"][0]["input"], "flow of tips");
    // Tips that pass within 5 % (95 of 100): 5 and 95 of 100 are within 1.645 deviations of 2.44 %.
    let rate = |key: &str| band(&known, "boom_flow_m3_s")[key].as_f64().unwrap();
    let factor = (1.645 * 0.5 * 1.05_f64.ln()).exp();
    assert!(
        (rate("high") / rate("middle") - factor).abs() < 0.006,
        "{}",
        rate("high") / rate("middle")
    );
}

#[test]
fn a_thicker_layer_stays_in_the_lines_and_does_not_come_back() {
    let place = tempfile::tempdir().unwrap();
    let machine =
        std::fs::read_to_string(root().join("scenarios/heron-36m-purge-together.toml")).unwrap();
    let short = machine.replace("for = \"90 s\"", "for = \"8 s\"");
    let path = checks::put_beside_data(&short, place.path());
    let study = place.path().join("study.toml");
    std::fs::write(&study, all_known("purge_layer")).unwrap();
    let args = ["run", &path.to_string_lossy(), "--uncertain", "--study", &study.to_string_lossy()];
    let found = json(&millstream(&[&args[..], &["--draws", "2", "--json"]].concat()));
    let of = |key: &str, end: &str| band(&found, key)[end].as_f64().unwrap();
    let (left, back) = ("purge_residual_m3", "purge_returned_m3");
    let stayed = of(left, "high") - of(left, "low");
    assert!(stayed > 1e-4, "{stayed}");
    assert!((stayed - (of(back, "high") - of(back, "low"))).abs() < 1e-12);
}

#[test]
fn one_screen_says_bands_chances_and_causes() {
    let printed = uncertain(MACHINE, &["--draws", "64"]);
    assert!(printed.out.lines().count() <= 45, "{}", printed.out);
    for words in ["64 draws of ", "5 to 95 of 100", "hangs most on", "95 % sure", "--full"] {
        assert!(printed.out.contains(words), "{words} in\n{}", printed.out);
    }
    let full = uncertain(MACHINE, &["--draws", "64", "--full"]).out;
    assert!(full.contains("common practice, no source") && full.contains("What moves it"));
}

#[test]
fn every_key_of_the_document_is_on_its_page() {
    let page = std::fs::read_to_string(root().join("docs/study.md")).unwrap();
    let document = json(&uncertain(MACHINE, &["--draws", "8", "--json"]));
    let mut keys: Vec<String> = document.as_object().unwrap().keys().cloned().collect();
    for list in ["inputs", "bands", "limits"] {
        keys.extend(document[list][0].as_object().unwrap().keys().cloned());
    }
    let missing: Vec<&String> =
        keys.iter().filter(|key| !page.contains(&format!("`{key}`"))).collect();
    assert!(missing.is_empty(), "{missing:?}");
}
