//! What a run says by itself where the machine does not do what is asked of it.

use crate::once::each_shipped;
use checks::command::{Printed, millstream};
use checks::{put_beside_data, root};
use serde_json::Value;

/// A shipped scenario, its text changed, run with `options`.
fn run(scenario: &str, change: impl Fn(String) -> String, options: &[&str]) -> Printed {
    let text = std::fs::read_to_string(root().join(format!("scenarios/{scenario}.toml"))).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = put_beside_data(&change(text), folder.path()).to_string_lossy().into_owned();
    millstream(&[&["run", &file], options].concat())
}

fn json(scenario: &str, change: impl Fn(String) -> String) -> Value {
    serde_json::from_str(&run(scenario, change, &["--json"]).out).unwrap()
}

fn verdict<'a>(findings: &'a Value, measure: &str) -> &'a Value {
    let verdicts = findings["verdicts"].as_array().unwrap();
    verdicts.iter().find(|verdict| verdict["measure"] == measure).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// Nothing in the scenario limits it: a setpoint far beyond the pump, and the rate it is for, are missed all the same.
#[test]
fn a_setpoint_that_is_not_reached_fails_without_a_limit_in_the_file() {
    let beyond = |text: String| text.replace("hold = \"3 bar\"", "hold = \"55 bar\"");
    let findings = json("heron-36m-centre", beyond)["steps"][0]["findings"].clone();
    let held = &findings["controls"][0];
    let off = 1.0 - number(&held["actual_pa"]) / number(&held["setpoint_pa"]);
    let verdict = verdict(&findings, "setpoint_off_share");
    assert!(off > 0.5 && (number(&verdict["value"]) - off).abs() < 1e-12, "{verdict}");
    assert_eq!(verdict["met"], false);
    assert_eq!(run("heron-36m-centre", beyond, &["--enforce"]).code, 1);
}

#[test]
fn a_rate_more_than_a_tenth_off_its_target_fails_without_a_limit_in_the_file() {
    let fast = |text: String| {
        text.replace("speed = \"10 km/h\"", "speed = \"13 km/h\"")
            .replace("rate_off = \"5 %\"\n", "")
    };
    let findings = json("heron-36m-centre", fast)["steps"][0]["findings"].clone();
    let (rate, verdict) = (&findings["application"], verdict(&findings, "rate_off_share"));
    let off = (number(&rate["rate_m"]) / number(&rate["target_rate_m"]) - 1.0).abs();
    assert!(off > 0.2 && (number(&verdict["value"]) - off).abs() < 1e-12, "{verdict}");
    assert_eq!((&verdict["met"], &verdict["at_most"]), (&Value::from(false), &Value::from(0.1)));
}

/// What the hoses bring is what the tips of a section spray beyond what comes through its valve: liquid is conserved.
#[test]
fn return_hoses_that_feed_sections_are_named_with_their_flow() {
    let shut = |text: String| {
        text + "\n[[step]]\nname = \"one closed\"\ndo = \"spray\"\nsections = [\"1\"]\n"
    };
    let summary = json("heron-36m-one-end", shut);
    let of = |step: &str, code: &str| {
        let steps = summary["steps"].as_array().unwrap();
        let step = steps.iter().find(|entry| entry["name"] == step).unwrap();
        let warnings = step["findings"]["warnings"].as_array().unwrap();
        warnings.iter().find(|warning| warning["code"] == code).cloned()
    };
    let joined = of("spray", "returns_joined").unwrap();
    let lines = joined["lines"].as_array().unwrap();
    let names: Vec<&str> = lines.iter().map(|line| line["line"].as_str().unwrap()).collect();
    assert_eq!(names, ["1-return", "2-return", "5-return", "6-return"]);
    // With one section open the hose of that section gives, and the others' tips are closed for themselves.
    assert!(of("circulate", "returns_joined").is_none());
    // A machine whose tips have no valve of their own: what is closed at the section valve sprays through the return.
    let open = |text: String| shut(text).replace("shut_off = \"each\"", "shut_off = \"none\"");
    let summary = json("heron-36m-one-end", open);
    let steps = summary["steps"].as_array().unwrap();
    let last = &steps.last().unwrap()["findings"];
    let warnings = last["warnings"].as_array().unwrap();
    let closed = warnings.iter().find(|warning| warning["code"] == "closed_section_sprays");
    assert_eq!(closed.unwrap()["sections"].as_array().unwrap().len(), 5);
    let back: f64 = warnings
        .iter()
        .filter(|warning| warning["code"] == "returns_joined")
        .flat_map(|warning| warning["lines"].as_array().unwrap())
        .map(|line| number(&line["flow_m3_s"]))
        .sum();
    let tips = last["tips"].as_array().unwrap().iter();
    let of_closed = tips.filter(|tip| !tip["tip"].as_str().unwrap().starts_with("1-"));
    let sprayed: f64 = of_closed.map(|tip| number(&tip["flow_m3_s"])).sum();
    assert!(sprayed > 0.0 && (back / sprayed - 1.0).abs() < 1e-6, "{back} {sprayed}");
}

/// Sections that share no return cannot feed each other, and a section closed on purpose is no caution, whatever rounding
/// leaves as flow.
#[test]
fn only_machines_with_returns_get_their_cautions_and_closed_sections_are_none() {
    let (mut steps, mut closed) = (0, 0);
    each_shipped(|path, outcome| {
        let text = std::fs::read_to_string(path).unwrap();
        if text.contains("do = \"purge\"") {
            return;
        }
        let returns = text.contains("return = true");
        let summary = outcome.summary();
        for step in summary["steps"].as_array().unwrap() {
            let findings = &step["findings"];
            let codes: Vec<&str> = findings["warnings"]
                .as_array()
                .unwrap()
                .iter()
                .map(|warning| warning["code"].as_str().unwrap())
                .collect();
            let of_returns = ["returns_joined", "closed_section_sprays"];
            assert!(returns || !codes.iter().any(|code| of_returns.contains(code)), "{codes:?}");
            assert!(!codes.contains(&"closed_section_sprays"), "{}: {codes:?}", path.display());
            let off = findings["sections"].as_array().unwrap().iter();
            let off = off.filter(|section| section["running_tips"] == 0).count();
            if off > 0 && findings["boom"]["running_tips"].as_u64().is_some_and(|tips| tips > 0) {
                closed += 1;
                assert!(!codes.contains(&"tip_check_closed"), "{}: {codes:?}", path.display());
            }
            steps += 1;
        }
    });
    assert!(steps > 30 && closed > 0, "{steps} {closed}");
}

/// The recirculation valve of the short form circulates at the opening it is given, and closes to spray.
#[test]
fn a_throttled_return_valve_stays_throttled_while_circulating() {
    let flow = |summary: &Value| {
        let step = &summary["steps"].as_array().unwrap().last().unwrap()["findings"];
        number(&step["circulation"]["flow_m3_s"])
    };
    let throttled = |text: String| {
        text.replace(
            "valve = { kv = \"20 m3/h\" }",
            "valve = { kv = \"20 m3/h\", opening = \"20 %\" }",
        )
    };
    let smaller =
        |text: String| text.replace("valve = { kv = \"20 m3/h\" }", "valve = { kv = \"4 m3/h\" }");
    let [wide, throttled, smaller] = [
        flow(&json("heron-36m-one-end", |text| text)),
        flow(&json("heron-36m-one-end", throttled)),
        flow(&json("heron-36m-one-end", smaller)),
    ];
    // A fifth of a linear valve's opening is a fifth of its coefficient (IEC 60534-2-4).
    assert!(throttled < 0.9 * wide && (throttled / smaller - 1.0).abs() < 1e-9);
}
