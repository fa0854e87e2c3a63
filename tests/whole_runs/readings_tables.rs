//! Readings in tables as people have them: other separators, heads in any case, empty columns, a spreadsheet's own ideas.

use checks::command::{Printed, millstream};
use checks::root;
use serde_json::Value;

const HERON: &str = "scenarios/heron-36m-centre.toml";

const PLAIN: &str = "\
state,hold,kind,at,reads,time,accuracy
all sections spraying,3 bar,gauge,header,3.02 bar,,
all sections spraying,,gauge,section 1 left end,2.55 bar,,2 %
all sections spraying,,gauge,section 3 left end,2.94 bar,,
all sections spraying,,catch,1-03,735 mL,30 s,
all sections spraying,,catch,4-03,795 mL,30 s,
";

/// What `diagnose` says of `table` written as `name`.
fn diagnosed(table: &str, name: &str, more: &[&str]) -> Printed {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join(name);
    std::fs::write(&file, table).unwrap();
    let scenario = root().join(HERON).to_string_lossy().into_owned();
    millstream(&[&["diagnose", &scenario, &file.to_string_lossy()], more].concat())
}

fn said(printed: &Printed) -> String {
    printed.err.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_same_readings_in_any_usual_table_give_the_same_diagnosis() {
    let json = |table: &str, name: &str| -> Value {
        let printed = diagnosed(table, name, &["--json"]);
        assert_eq!(printed.code, 0, "{name}: {}", printed.err);
        serde_json::from_str(&printed.out).unwrap()
    };
    let plain = json(PLAIN, "plain.csv");
    assert_eq!(diagnosed(PLAIN, "plain.csv", &[]).err, "");
    let semicolons = PLAIN.replace(',', ";").replace("2.94 bar", "2,94 bar");
    let tabs = PLAIN.replace(',', "\t");
    let shouted = PLAIN.replacen("state,hold,kind,at,reads", "State,Hold,KIND,At,Reads", 1);
    let shouted = shouted.replace(",gauge,", ",Gauge,").replace(",catch,", ",CATCH,");
    let wide: String = PLAIN.lines().map(|line| format!("{line},,,\r\n")).collect();
    let wide =
        format!("\"# filled in by a spreadsheet, as it likes\",,,,,,,,,\r\n{wide},,,,,,,,,\r\n");
    let watch = PLAIN.replace("735 mL,30 s", "735 cc,0:30");
    let column = PLAIN
        .replacen("reads,time", "reads,unit,time", 1)
        .replace(" bar,,", ",bar,,")
        .replace(" mL,30 s", ",mL,30");
    for (table, name, words) in [
        (semicolons, "semicolons.csv", "cells are taken to be separated by semicolons"),
        (tabs, "tabs.tsv", "cells are taken to be separated by tabs"),
        (shouted, "shouted.csv", ""),
        (wide, "wide.csv", ""),
        (watch, "watch.csv", ""),
        (column, "column.csv", ""),
    ] {
        assert_eq!(json(&table, name), plain, "{name}");
        assert!(said(&diagnosed(&table, name, &[])).contains(words), "{name}");
    }
}

#[test]
fn a_date_in_place_of_a_tip_is_recognised() {
    for date in ["3-Jan", "03.01.2026"] {
        let printed = diagnosed(&PLAIN.replace("1-03", date), "dates.csv", &[]);
        let said = said(&printed);
        assert_eq!(printed.code, 2);
        assert!(said.contains(&format!("\"{date}\" is a date that a spreadsheet made")), "{said}");
        // Day and month may be either way round.
        assert!(["\"1-03\"", "\"3-01\""].iter().all(|name| said.contains(name)), "{said}");
    }
}

/// Mistakes of words, of units and of names: all in one round.
#[test]
fn every_mistake_of_a_table_is_reported_at_once() {
    let broken = PLAIN
        .replacen("3.02 bar", "3.02", 1)
        .replace("section 3 left end", "section 9 left end")
        .replacen("catch", "jug", 1)
        .replace("4-03", "4-99");
    let said = said(&diagnosed(&broken, "broken.csv", &[]));
    for words in [
        "`3.02` has no unit",
        "called \"section 9 left end\"",
        "\"jug\" is no kind of reading",
        "no tip called \"4-99\"",
        "4 faults",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert!(!said.contains("no reading in the file"), "{said}");
}

#[test]
fn too_few_readings_are_called_so() {
    let few: String = PLAIN.lines().take(3).map(|line| format!("{line}\n")).collect();
    assert!(diagnosed(&few, "few.csv", &[]).out.contains("That is too few"));
    assert!(!diagnosed(PLAIN, "enough.csv", &[]).out.contains("too few"));
}

/// A template of a machine that is described in US units asks for them, and takes plain numbers.
#[test]
fn a_template_is_in_the_machines_own_units() {
    let us = root().join("scenarios/otterbend-90ft-nitrogen.toml").to_string_lossy().into_owned();
    let table = millstream(&["diagnose", &us, "--template", "csv"]).out;
    assert!(
        table.contains(",psi,") && table.contains(",fl oz,") && !table.contains(",bar,"),
        "{table}"
    );
    let toml = millstream(&["diagnose", &us, "--template", "toml"]).out;
    assert!(toml.contains("pressures in psi, flows in gal/min"), "{toml}");
    let filled: String = table
        .lines()
        .map(|line| match line {
            line if line.contains(",gauge,") => line.replacen(",,psi", ",40,psi", 1) + "\n",
            line if line.contains(",catch,") => {
                line.replacen(",,fl oz,,", ",30,fl oz,30,", 1) + "\n"
            }
            line => format!("{line}\n"),
        })
        .collect();
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("filled.csv");
    std::fs::write(&file, &filled).unwrap();
    let printed = millstream(&["diagnose", &us, &file.to_string_lossy(), "--json"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let read: Value = serde_json::from_str(&printed.out).unwrap();
    let values = read["read"].as_array().unwrap();
    // 40 psi is 275790 Pa (exact); 30 fl oz in 30 s is 128 fl oz, a gallon of 3.785411784 L, in 128 s.
    for (what, value) in [("test_gauge_pa", 275_790.29), ("catch_m3_s", 3.785_411_784e-3 / 128.0)] {
        let one = values.iter().find(|one| one["what"] == what).unwrap();
        assert!((one["read"].as_f64().unwrap() / value - 1.0).abs() < 1e-6, "{what}");
    }
}
