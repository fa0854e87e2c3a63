//! Readings in, fault out.

use checks::command::{Printed, files, millstream};
use checks::matches_file;
use checks::root;
use serde_json::Value;

fn path(name: &str) -> String {
    root().join(name).to_string_lossy().into_owned()
}

fn diagnose(scenario: &str, readings: &str, more: &[&str]) -> Printed {
    let (scenario, readings) = (path(scenario), path(readings));
    let mut args = vec!["diagnose", scenario.as_str(), readings.as_str()];
    args.extend(more);
    millstream(&args)
}

const HERON: &str = "scenarios/heron-36m-centre.toml";

#[test]
fn shipped_readings_name_their_fault() {
    // The faults the readings were invented with.
    for (scenario, readings, answer) in [
        (HERON, "heron-left-end-short.toml", "feed hose of section 1 kinked"),
        (HERON, "heron-healthy.toml", "No fault is called"),
        (
            "scenarios/larkfield-12m.toml",
            "larkfield-middle-heavy.csv",
            "Worn tips in section middle",
        ),
        (
            "scenarios/otterbend-90ft-nitrogen.toml",
            "otterbend-pressure-doubted.toml",
            "Machine's gauge \"boom\" reads off: reads 13",
        ),
    ] {
        let printed = diagnose(scenario, &format!("demo-data/readings/{readings}"), &[]);
        assert_eq!(printed.code, 0, "{}", printed.err);
        let answer_part = printed.out.split("What explains").next().unwrap();
        let joined = answer_part.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined.contains(answer), "{readings}: {joined}");
    }
}

#[test]
fn what_cannot_be_told_apart_is_said_and_the_gauge_that_would_tell_is_asked_for() {
    let printed = diagnose(HERON, "demo-data/readings/heron-left-end-short.toml", &[]);
    let text = printed.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("The readings cannot tell apart: "), "{text}");
    assert!(text.contains("test gauge at 1-valve-out, between"), "{text}");
    assert!(text.contains("relieve the pressure"), "{text}");
}

#[test]
fn readings_of_another_machine_do_not_fit() {
    let place = tempfile::tempdir().unwrap();
    let readings = place.path().join("readings.toml");
    let text = "[[state]]\nhold = \"3 bar\"\n\
        gauge = [{ at = \"pump\", reads = \"8 bar\" }, { at = \"header\", reads = \"3 bar\" },\n\
        { at = \"section 1 left end\", reads = \"1.1 bar\" }, { at = \"section 5 left end\", reads = \"4 bar\" }]\n\
        catch = [{ tip = \"2-05\", flow = \"0.5 L/min\" }, { tip = \"3-05\", flow = \"4 L/min\" },\n\
        { tip = \"4-05\", flow = \"0.9 L/min\" }, { tip = \"6-05\", flow = \"2.9 L/min\" }]\n";
    std::fs::write(&readings, text).unwrap();
    let printed = millstream(&["diagnose", &path(HERON), &readings.to_string_lossy()]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let text = printed.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Nothing in the catalogue explains these readings"), "{text}");
    assert!(text.contains("does not fit the readings"), "{text}");
}

#[test]
fn templates_of_every_shipped_machine_are_read_back_once_filled_in() {
    for scenario in files("scenarios", ".toml") {
        let scenario = scenario.to_string_lossy().into_owned();
        for form in ["toml", "csv"] {
            let template = millstream(&["diagnose", &scenario, "--template", form]);
            assert_eq!(template.code, 0, "{}", template.err);
            let place = tempfile::tempdir().unwrap();
            let file = place.path().join(format!("readings.{form}"));
            std::fs::write(&file, &template.out).unwrap();
            let blank = millstream(&["diagnose", &scenario, &file.to_string_lossy()]);
            assert_eq!(blank.code, 2);
            assert!(blank.err.contains("there is no reading in the file"), "{}", blank.err);
            let filled = template.out.replacen(",gauge,header,,", ",gauge,header,3 bar,", 1);
            let filled = filled.replacen("volume = \"\", time = \"\"", "flow = \"1.6 L/min\"", 1);
            if filled == template.out {
                continue;
            }
            std::fs::write(&file, filled).unwrap();
            let printed = millstream(&["diagnose", &scenario, &file.to_string_lossy()]);
            assert_eq!(printed.code, 0, "{scenario}: {}", printed.err);
        }
    }
}

#[test]
fn every_broken_readings_file_gives_its_message_and_writes_nothing() {
    let folder = root().join("tests/faults/readings");
    let mut broken = files("tests/faults/readings", ".toml");
    broken.extend(files("tests/faults/readings", ".csv"));
    let mut wrong = Vec::new();
    for file in broken {
        let place = tempfile::tempdir().unwrap();
        let target = place.path().join("out");
        let args =
            ["diagnose", &path(HERON), &file.to_string_lossy(), "--out", &target.to_string_lossy()];
        let printed = millstream(&args);
        assert_eq!((printed.code, printed.out.as_str()), (2, ""), "{}", file.display());
        assert!(!target.exists());
        let message = printed.err.replace(&format!("{}/", folder.display()), "");
        wrong.extend(matches_file(&message, &file.with_extension("txt")).err());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_page_stands_alone_and_carries_picture_and_cautions() {
    let place = tempfile::tempdir().unwrap();
    let target = place.path().join("out");
    let target_text = target.to_string_lossy().into_owned();
    let readings = "demo-data/readings/heron-left-end-short.toml";
    let printed = diagnose(HERON, readings, &["--out", &target_text]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let page = std::fs::read_to_string(target.join("report.html")).unwrap();
    for wanted in ["<svg", "relieve the pressure", "product label", "Measure next", "In-use"] {
        assert!(page.contains(wanted), "{wanted}");
    }
    for outside in ["src=", "href=", "@import", "url("] {
        assert!(!page.contains(outside), "{outside}");
    }
    for name in ["diagnosis.json", "diagnosis.svg", "diagnosis.png"] {
        assert!(target.join(name).exists(), "{name}");
    }
}

#[test]
fn a_calibration_is_kept_and_taken_up() {
    let place = tempfile::tempdir().unwrap();
    let overlay = place.path().join("overlay.toml").to_string_lossy().into_owned();
    let readings = "demo-data/readings/heron-healthy.toml";
    let kept = diagnose(HERON, readings, &["--calibrate", &overlay]);
    assert_eq!(kept.code, 0, "{}", kept.err);
    assert!(std::fs::read_to_string(&overlay).unwrap().contains("hose_losses = "));
    let taken_up = diagnose(HERON, readings, &["--overlay", &overlay]);
    assert_eq!(taken_up.code, 0, "{}", taken_up.err);
    assert!(taken_up.out.contains("No fault is called"));
}

/// Keys of `value`, lists counting as their items.
fn keys(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(key, inner)| {
            found.push(key.clone());
            keys(inner, found);
        }),
        Value::Array(items) => items.iter().for_each(|item| keys(item, found)),
        _ => {}
    }
}

#[test]
fn every_key_of_the_json_is_documented() {
    let page = std::fs::read_to_string(root().join("docs/diagnosing.md")).unwrap();
    let printed = diagnose(HERON, "demo-data/readings/heron-left-end-short.toml", &["--json"]);
    let mut found = Vec::new();
    keys(&serde_json::from_str(&printed.out).unwrap(), &mut found);
    found.sort();
    found.dedup();
    let missing: Vec<&String> =
        found.iter().filter(|k| !page.contains(&format!("`{k}`"))).collect();
    assert!(missing.is_empty(), "docs/diagnosing.md says nothing of {missing:?}");
}

/// A valve whose name is no bare key of TOML is in quotes in the template, which is then read back.
#[test]
fn names_that_toml_takes_only_in_quotes_are_quoted_in_a_template() {
    let expanded = millstream(&["expand", &path("scenarios/larkfield-12m.toml")]).out;
    let renamed = expanded
        .replace("[valve.bypass]", "[valve.\"by pass\"]")
        .replace("= \"bypass\"", "= \"by pass\"");
    let place = tempfile::tempdir().unwrap();
    let [machine, readings] = ["machine.toml", "readings.toml"].map(|name| place.path().join(name));
    std::fs::write(&machine, renamed).unwrap();
    let machine = machine.to_string_lossy().into_owned();
    let template = millstream(&["diagnose", &machine, "--template", "toml"]);
    assert_eq!(template.code, 0, "{}", template.err);
    assert!(template.out.contains("valves = { \"by pass\" = \"closed\" }"), "{}", template.out);
    let filled = template.out.replace("reads = \"\"", "reads = \"2.8 bar\"");
    std::fs::write(&readings, filled).unwrap();
    let printed = millstream(&["diagnose", &machine, &readings.to_string_lossy()]);
    assert_eq!(printed.code, 0, "{}", printed.err);
}
