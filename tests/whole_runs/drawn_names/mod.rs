//! Names on drawings of the plumbing: none is on another, none leaves its frame, whatever the machine.
//!
//! How wide words are is measured by a library that reads fonts, `ab_glyph`, in the font of the pictures.

mod machines;
mod texts;

use crate::once::{Outcome, each_shipped};
use checks::command::files;
use machines::Machine;
use rayon::prelude::*;
use texts::{Text, faults, of_page, of_picture, of_sketch, strays};

/// Drawings of `outcome`, each with its name: plots, the page, the sketch of the build sheet.
fn drawings(outcome: &Outcome) -> Vec<(String, Vec<Text>)> {
    let drawn = |(name, bytes): (&String, &Vec<u8>)| {
        let text = String::from_utf8_lossy(bytes);
        let texts = match name.as_str() {
            "report.html" => of_page(&text),
            "build.html" => of_sketch(&text),
            _ if name.ends_with("plumbing.svg") => of_picture(&text),
            _ => return None,
        };
        Some((name.clone(), texts))
    };
    outcome.files.iter().filter_map(drawn).collect()
}

/// What is wrong with any drawing of `outcome`, and how many drawings there are.
fn wrong(outcome: &Outcome) -> (Vec<String>, usize) {
    let drawn = drawings(outcome);
    let faults = drawn.iter().flat_map(|(name, texts)| {
        faults(texts).into_iter().map(move |fault| format!("{name}: {fault}"))
    });
    let text = |name: &str| String::from_utf8_lossy(&outcome.files[name]).into_owned();
    let lines = drawn.iter().filter(|(name, _)| name != "build.html");
    let strays = lines.flat_map(|(name, _)| strays(&text(name), name == "report.html"));
    (faults.chain(strays).collect(), drawn.len())
}

/// Runs `machine` and writes its papers; says what is wrong with its drawings.
fn judged(machine: &Machine) -> Vec<String> {
    let place = tempfile::tempdir().unwrap();
    std::fs::write(place.path().join("mine.toml"), &machine.text).unwrap();
    let mut found = Vec::new();
    for command in ["run", "papers"] {
        let outcome =
            Outcome::of(&format!("millstream {command} mine.toml --out out"), place.path());
        assert_eq!(
            outcome.printed.code, 0,
            "{}: {}\n{}",
            machine.name, outcome.printed.err, machine.text
        );
        let (faults, drawn) = wrong(&outcome);
        assert!(drawn > 0, "{}: {command} draws nothing", machine.name);
        found.extend(faults);
        if command == "run" {
            let texts: Vec<String> = drawings(&outcome)
                .into_iter()
                .filter(|(name, _)| name.ends_with("plumbing.svg"))
                .flat_map(|(_, texts)| texts.into_iter().map(|text| text.words))
                .collect();
            let missing = |name: &&String| {
                let words = name.replace('-', " ");
                !texts.iter().any(|text| text.starts_with(&words))
            };
            let missing: Vec<&String> = machine.expected.iter().filter(missing).collect();
            if missing.len() > machine.may_miss {
                found.push(format!("no names {missing:?}"));
            }
        }
        std::fs::remove_dir_all(place.path().join("out")).unwrap();
    }
    found.into_iter().map(|fault| format!("{}: {fault}", machine.name)).collect()
}

fn none_wrong(machines: &[Machine]) {
    let faults: Vec<String> = machines.par_iter().flat_map(judged).collect();
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn no_name_of_a_shipped_scenario_is_on_another_or_beyond_its_frame() {
    let mut count = 0;
    each_shipped(|path, outcome| {
        let (faults, drawn) = wrong(outcome);
        assert!(faults.is_empty(), "{}: {faults:#?}", path.display());
        count += drawn;
    });
    assert!(count > 30, "{count}");
    for path in files("scenarios", ".toml") {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let line = format!("millstream papers scenarios/{name} --out out");
        crate::once::with(&line, |outcome| {
            let (faults, drawn) = wrong(outcome);
            assert!(faults.is_empty() && drawn == 1, "{name}: {faults:#?}");
        });
    }
}

#[test]
fn fifty_random_booms_with_parts_of_their_own_are_named_without_overlap() {
    let machines: Vec<Machine> = (0..50).map(machines::short_form).collect();
    let strangers: usize = machines.iter().map(|machine| machine.expected.len()).sum();
    assert!(strangers > 100, "{strangers}");
    none_wrong(&machines);
}

#[test]
fn twenty_random_networks_are_named_without_overlap() {
    let machines: Vec<Machine> = (0..20).map(machines::network).collect();
    none_wrong(&machines);
}
