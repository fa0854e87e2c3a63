//! Nozzle bodies that carry several tips.

use checks::command::{Printed, millstream};
use checks::{put_beside_data, root};
use serde_json::Value;

const STEPS: &str = "[[step]]";

/// The shipped sprayer whose bodies carry two tips, `changed`, and what `args` say of it.
fn of_changed(args: &[&str], changed: impl Fn(&str) -> String) -> Printed {
    let path = root().join("scenarios/larkfield-12m-two-tips.toml");
    let text = std::fs::read_to_string(path).unwrap();
    let place = tempfile::tempdir().unwrap();
    let file = put_beside_data(&changed(&text), place.path()).to_string_lossy().into_owned();
    millstream(&[&args[..1], &[&file], &args[1..]].concat())
}

/// Source: rated flows of ISO 10625 (0.8 and 1.2 L/min at 3 bar) and the square-root law of ISO 5682-1; tips of one body see one
/// pressure, so that their flows add.
#[test]
fn a_step_opens_the_tips_that_it_names_and_their_flows_add() {
    let printed = of_changed(&["run", "--json"], str::to_owned);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let summary: Value = serde_json::from_str(&printed.out).unwrap();
    let steps = summary["steps"].as_array().unwrap();
    for (step, rated) in steps.iter().zip([[0.8, 0.0], [0.0, 1.2], [0.8, 1.2]]) {
        let tips = step["findings"]["tips"].as_array().unwrap();
        assert_eq!(tips.len(), 48);
        for body in tips.chunks(2) {
            let name = body[0]["tip"].as_str().unwrap();
            assert_eq!(body[1]["tip"], format!("{name}-B"));
            for (tip, litres) in body.iter().zip(rated) {
                // The shut-off of each body is a check valve that takes 0.05 bar once open.
                let pa = tip["pressure_pa"].as_f64().unwrap() - 0.05e5;
                let expected = litres / 60e3 * (pa / 3e5).sqrt();
                let flow = tip["flow_m3_s"].as_f64().unwrap();
                assert!((flow - expected).abs() <= 2e-3 * expected, "{tip}: {expected}");
            }
        }
    }
    // L/ha = L/min * 600 / (m km/h): tips at 0.5 m, 9.7 km/h; a body's tips are on one strip.
    for step in steps {
        let flow: f64 = step["findings"]["tips"]
            .as_array()
            .unwrap()
            .iter()
            .map(|t| t["flow_m3_s"].as_f64().unwrap())
            .sum();
        let rate = flow / 24.0 / (0.5 * 9.7 / 3.6);
        let found = step["findings"]["application"]["rate_m"].as_f64().unwrap();
        assert!((found / rate - 1.0).abs() < 1e-6, "{found} {rate}");
    }
    // The long form says the same.
    let expanded = of_changed(&["expand"], str::to_owned);
    assert!(expanded.out.contains("tips = [\"A\", \"B\"]"), "{}", expanded.out);
}

#[test]
fn a_section_may_carry_tips_of_its_own() {
    let printed = of_changed(&["run", "--json"], |text| {
        let own = "name = \"left\"\ntips = 8\ntip = { size = \"04\", beside = [{ position = \"B\", size = \"06\" }] }";
        text.replace("name = \"left\"\ntips = 8", own)
    });
    let summary: Value = serde_json::from_str(&printed.out).unwrap();
    let tips = summary["steps"][2]["findings"]["tips"].as_array().unwrap();
    let flow = |name: &str| {
        tips.iter().find(|tip| tip["tip"] == name).unwrap()["flow_m3_s"].as_f64().unwrap()
    };
    // 1.6 to 0.8 and 2.4 to 1.2 L/min: twice what the other sections give, but for the pressure that twice the flow costs on
    // the way, some 5 %.
    for [left, right] in [["left-04", "right-04"], ["left-04-B", "right-04-B"]] {
        let ratio = flow(left) / flow(right);
        assert!((1.85..2.0).contains(&ratio), "{left}: {ratio}");
    }
}

#[test]
fn mistakes_about_bodies_say_what_would_be_right() {
    let with_step = |step: &str| {
        let step = format!("{STEPS}\nname = \"x\"\n{step}\n");
        move |text: &str| format!("{}{step}", text.split(STEPS).next().unwrap())
    };
    for (step, words) in [
        ("do = \"spray\"\ntips = [\"C\"]", "there is no position of tips called \"C\""),
        (
            "do = \"purge\"\nfor = \"9 s\"\ntips = [\"B\"]",
            "the air of a purge opens no other tips than those in use",
        ),
    ] {
        let printed = of_changed(&["check"], with_step(step));
        let err = printed.err.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        assert!(printed.code == 2 && err.contains(&words.to_lowercase()), "{words}: {err}");
    }
    let noted = of_changed(&["check"], with_step("do = \"stand\"\ntips = [\"B\"]"));
    assert!(noted.code == 0 && noted.err.contains("`tips` says nothing"), "{}", noted.err);
    let twice = of_changed(&["check"], |text| text.replace("position = \"B\"", "position = \"A\""));
    assert!(twice.err.contains("a body has a tip at the position \"A\" already"), "{}", twice.err);
}

/// By hand: 190 L/ha at 0.5 m asks 0.95 L/min at 6 km/h and 2.85 at 18; 1.2 L/min at 3 bar gives 0.95 at 1.88 bar, 3.2 L/min gives
/// 2.85 at 2.38 bar; between 1 and 6 bar 03 serves 4.4 to 10.7 km/h, both together 11.7 to 28.6.
#[test]
fn tips_says_which_tip_or_pair_serves_which_speeds_and_which_none_does() {
    let printed = millstream(&[
        "tips",
        "--rate",
        "190 L/ha",
        "--speed",
        "6 km/h",
        "--to",
        "18 km/h",
        "--carries",
        "03,05",
        "--from-pressure",
        "1 bar",
        "--to-pressure",
        "4 bar",
    ]);
    let said = printed.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // 03 up to 4 bar: 8.75 km/h; 05 from 1 bar: 7.3 to 14.6; both from 1 bar: 11.7.
    assert!(
        said.contains("03 from 6.0 to 8.8 km/h; 05 from 7.3 to 14.6 km/h; 03 and 05 together from 11.7 to 18.0 km/h"),
        "{said}"
    );
    assert!(said.contains("All these speeds are served."), "{said}");
    let gap = millstream(&[
        "tips",
        "--rate",
        "190 L/ha",
        "--speed",
        "6 km/h",
        "--to",
        "18 km/h",
        "--carries",
        "03,03",
        "--from-pressure",
        "2 bar",
        "--to-pressure",
        "3 bar",
    ]);
    let said = gap.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // One 03 at 2 to 3 bar: 6.2 to 7.6 km/h; two: 12.4 to 15.2.
    assert!(
        said.contains(
            "At 6.0 to 6.2 km/h and at 7.6 to 12.4 km/h and at 15.2 to 18.0 km/h none does."
        ),
        "{said}"
    );
    let held = millstream(&[
        "tips",
        "--rate",
        "190 L/ha",
        "--speed",
        "6 km/h",
        "--to",
        "12 km/h",
        "--pressure",
        "3 bar",
    ]);
    let said = held.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // L/min = L/ha * km/h * m / 600: 1.2 gives 7.6, 1.4 gives 8.8, 1.6 gives 10.1 km/h.
    assert!(said.contains("Held at 3.00 bar, the rate is met by"), "{said}");
    assert!(said.contains("03 at 7.6 km/h, 035 at 8.8 km/h, 04 at 10.1 km/h"), "{said}");
}
