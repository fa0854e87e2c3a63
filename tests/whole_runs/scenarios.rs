//! Every shipped scenario: it runs, reads back, fits the terminal, and gives the same twice.

use crate::once::{contents, each_shipped, each_shipped_with};
use checks::command::{Printed, files, millstream};
use checks::targets::{not_finite, shortened};
use checks::{Beside, put_beside_data, root, scenario};
use serde_json::Value;
use sim_core::scenario::{expand, read};
use std::path::Path;

fn run(path: &Path, more: &[&str]) -> Printed {
    let path = path.to_string_lossy();
    let args: Vec<&str> = ["run", &path].into_iter().chain(more.iter().copied()).collect();
    millstream(&args)
}

#[test]
fn the_long_form_of_every_scenario_reads_back_to_the_same() {
    for path in files("scenarios", ".toml") {
        let first = scenario(&path).unwrap();
        let second = read(&expand(&first), &Beside(Path::new("/nowhere"))).unwrap();
        assert_eq!(first, second, "{}", path.display());
    }
}

#[test]
fn every_scenario_runs_and_fits_a_hundred_columns() {
    for options in ["--out out", "--units us --full"] {
        each_shipped_with(options, |path, outcome| {
            let printed = &outcome.printed;
            assert_eq!((printed.code, printed.err.as_str()), (0, ""), "{}", path.display());
            for line in printed.out.lines() {
                assert!(line.chars().count() <= 100, "{}: {line}", path.display());
            }
            assert!(printed.out.contains("Caution:"));
        });
    }
}

/// Figures of `text` that have a sign and no digit but 0.
fn signed_nothings(text: &str) -> Vec<&str> {
    let words = text.split(|c: char| c.is_whitespace() || "<>,;()\"".contains(c));
    let figure = |word: &&str| {
        let size = word.strip_prefix(['-', '+', '\u{2212}']);
        size.is_some_and(|size| {
            size.contains('0') && size.bytes().all(|byte| matches!(byte, b'0' | b'.'))
        })
    };
    words.filter(figure).collect()
}

#[test]
fn nothing_is_neither_more_nor_less_in_any_text_table_or_page() {
    assert_eq!(signed_nothings("a -0.0 % of <td>+0</td>, -0.1, -"), ["-0.0", "+0"]);
    let none = |path: &Path, text: &str| {
        assert_eq!(signed_nothings(text), Vec::<&str>::new(), "{}", path.display());
    };
    each_shipped_with("--units us --full", |path, outcome| none(path, &outcome.printed.out));
    each_shipped(|path, outcome| {
        none(path, &outcome.printed.out);
        for name in outcome.files.keys().filter(|name| name.ends_with(".csv")) {
            none(path, outcome.text(name));
        }
        // What the page shows before its script draws.
        let page = outcome.text("report.html");
        none(path, page.split("<script").next().unwrap());
    });
}

#[test]
fn liquid_balances_in_every_summary_and_every_number_is_finite() {
    each_shipped(|path, outcome| {
        let summary = outcome.summary();
        assert!(summary["balances"]["liquid"].as_f64().unwrap() < 1e-9);
        assert_eq!(summary["schema"], "2");
        // JSON has no word for a number that is not finite: it would be there as null, which a time that
        // was not reached alone may be.
        for key in nulls(&summary, "") {
            assert!(key.ends_with("_s"), "{}: {key}", path.display());
        }
        if let Some(product) = summary["balances"]["product"].as_f64() {
            assert!(product < 1e-9, "{}: {product}", path.display());
        }
    });
}

/// Keys of `value` that are at null, with what they are called from `above` on.
fn nulls(value: &Value, above: &str) -> Vec<String> {
    match value {
        Value::Null => vec![above.to_owned()],
        Value::Array(items) => items.iter().flat_map(|item| nulls(item, above)).collect(),
        Value::Object(map) => {
            map.iter().flat_map(|(key, item)| nulls(item, &format!("{above}.{key}"))).collect()
        }
        _ => Vec::new(),
    }
}

#[test]
fn two_runs_write_the_same_files_byte_for_byte() {
    let path = root().join("scenarios/larkfield-12m.toml");
    let place = tempfile::tempdir().unwrap();
    let folders = ["one", "two"].map(|name| place.path().join(name));
    for folder in &folders {
        assert_eq!(run(&path, &["--out", &folder.to_string_lossy()]).code, 0);
    }
    let (first, second) = (contents(&folders[0]), contents(&folders[1]));
    assert!(first.contains_key("summary.json") && first.contains_key("1-plumbing.png"));
    assert_eq!(first.keys().collect::<Vec<_>>(), second.keys().collect::<Vec<_>>());
    assert!(first == second);
    assert_eq!(run(&path, &["--json"]).out.as_bytes(), first["summary.json"]);
}

#[test]
fn an_unmet_limit_changes_the_exit_code_only_when_enforced() {
    let path = root().join("scenarios/otterbend-90ft-nitrogen.toml");
    assert_eq!(run(&path, &[]).code, 0);
    let printed = run(&path, &["--enforce"]);
    assert_eq!(printed.code, 1);
    assert!(printed.out.contains("NOT MET"));
}

/// The same machine written in SI and in US units: values that are exact in both.
#[test]
fn one_machine_in_si_and_us_units_gives_the_same_numbers() {
    let us = std::fs::read_to_string(root().join("scenarios/sableflat-132ft-centre.toml")).unwrap();
    let mut si = us.clone();
    for (from, to) in [
        ("\"3 1/2 in\"", "\"88.9 mm\""),
        ("\"14 ft\"", "\"4.2672 m\""),
        ("\"132 ft\"", "\"40.2336 m\""),
        ("\"18 in\"", "\"0.4572 m\""),
        ("\"10 in\"", "\"0.254 m\""),
        ("\"2 in\"", "\"50.8 mm\""),
        ("\"34 ft\"", "\"10.3632 m\""),
        ("\"1 in\"", "\"25.4 mm\""),
        ("\"3 ft\"", "\"0.9144 m\""),
        ("\"31 psi\"", "\"213.7374760882192 kPa\""),
        ("\"13 mph\"", "\"5.81152 m/s\""),
    ] {
        assert!(si.contains(from), "{from}");
        si = si.replace(from, to);
    }
    let flows = |text: &str| {
        let place = tempfile::tempdir().unwrap();
        let path = put_beside_data(text, place.path());
        let summary: Value = serde_json::from_str(&run(&path, &["--json"]).out).unwrap();
        let tips = summary["steps"][0]["findings"]["tips"].as_array().unwrap().clone();
        tips.iter().map(|tip| tip["flow_m3_s"].as_f64().unwrap()).collect::<Vec<f64>>()
    };
    let (first, second) = (flows(&us), flows(&si));
    assert_eq!(first.len(), 88);
    for (a, b) in first.iter().zip(&second) {
        assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
    }
}

/// The work of the shipped scenarios: more of it means that something is done twice.
#[test]
fn work_of_the_shipped_scenarios_is_as_it_was() {
    let iterations = |name: &str| -> Vec<u64> {
        let printed = run(&root().join("scenarios").join(name), &["--json"]);
        let summary: Value = serde_json::from_str(&printed.out).unwrap();
        let steps = summary["steps"].as_array().unwrap();
        steps.iter().map(|step| step["work"]["iterations"].as_u64().unwrap()).collect()
    };
    for (name, most) in [
        ("heron-36m-one-end.toml", vec![7, 7, 7]),
        ("heron-36m-centre.toml", vec![8, 8]),
        ("sableflat-132ft-one-end.toml", vec![7, 7, 7]),
        ("larkfield-12m.toml", vec![12, 8]),
    ] {
        let got = iterations(name);
        assert!(got.iter().zip(&most).all(|(got, most)| got <= most), "{name}: {got:?}");
        assert_eq!(got.len(), most.len());
    }
}

/// A moment of each step shows what the whole of it does, but for what comes about late.
#[test]
fn random_text_and_mangled_scenarios_never_panic() {
    never_panic(|text| text.lines().map(|line| shortened(line, 0.5) + "\n").collect());
}

/// Steps as long as they are: minutes of computing.
#[test]
#[ignore = "takes minutes: cargo test -p checks --test whole_runs -- --ignored mangled"]
fn mangled_scenarios_never_panic_in_steps_of_full_length() {
    never_panic(str::to_owned);
}

/// Reads random text, and reads and runs shipped scenarios, `changed` first, with some characters replaced.
fn never_panic(changed: impl Fn(&str) -> String) {
    use proptest::prelude::*;
    let shipped: Vec<String> = files("scenarios", ".toml")
        .iter()
        .map(|path| changed(&std::fs::read_to_string(path).unwrap()))
        .collect();
    let folder = root().join("scenarios");
    proptest!(ProptestConfig::with_cases(400), |(
        which in 0..shipped.len(), at in 0.0f64..1.0, cut in 0usize..40, put in "[\\PC\n\"=\\[\\].]{0,8}",
        noise in "\\PC{0,60}",
    )| {
        let _ = read(&noise, &Beside(&folder));
        let text = &shipped[which];
        let mut start = (at * text.len() as f64) as usize;
        while !text.is_char_boundary(start) { start -= 1; }
        let mut end = (start + cut).min(text.len());
        while !text.is_char_boundary(end) { end -= 1; }
        let mangled = format!("{}{put}{}", &text[..start], &text[end.max(start)..]);
        if let Ok(scenario) = read(&mangled, &Beside(&folder)) {
            let _ = sim_core::simulation::run(&scenario.machine, &scenario.course);
        }
    });
}

/// The text that an SVG shows.
fn shown_text(svg: &str) -> String {
    let mut text = String::new();
    for piece in svg.split("<text").skip(1) {
        let inside = piece.split_once('>').map_or("", |(_, rest)| rest);
        text.push_str(inside.split("</text>").next().unwrap_or(""));
    }
    text
}

/// Every number in every file is one; and the font that the pictures carry has the characters of
/// `sim-cli/fonts/README.md` and no others: any other would be an empty box in a PNG.
#[test]
fn files_hold_finite_numbers_and_pictures_no_character_that_their_font_lacks() {
    let ranges = [
        0x20..=0x7E,
        0xA0..=0x17F,
        0x370..=0x3FF,
        0x2010..=0x2027,
        0x2030..=0x2030,
        0x2070..=0x209F,
        0x2212..=0x2212,
    ];
    each_shipped(|path, outcome| {
        for (name, bytes) in &outcome.files {
            let Ok(svg) = std::str::from_utf8(bytes) else {
                assert!(name.ends_with(".png"), "{name}");
                continue;
            };
            assert_eq!(not_finite(name, svg), None, "{name} of {}", path.display());
            if !name.ends_with(".svg") {
                continue;
            }
            let text = shown_text(svg);
            assert!(text.len() > 100, "{name}");
            let lacking = text
                .chars()
                .filter(|c| *c != '\n')
                .find(|c| !ranges.iter().any(|range| range.contains(&u32::from(*c))));
            assert_eq!(lacking, None, "{name}");
        }
    });
}
