//! The kept inputs of the fuzzer, through its targets.

use checks::command::files;
use checks::targets::{TARGETS, drive};

/// Drives `target` with every input kept for it; returns how many there are.
fn kept(target: &str) -> usize {
    let paths = files(&format!("tests/fuzz/corpus/{target}"), "");
    for path in &paths {
        // The name first: a panic in a target does not say which input it was.
        println!("{}", path.display());
        drive(target, &std::fs::read(path).unwrap());
    }
    paths.len()
}

#[test]
fn no_kept_text_of_a_scenario_breaks_a_promise() {
    assert!(kept("scenario_text") > 50);
    for folder in ["scenarios", "tests/faults"] {
        for path in files(folder, ".toml") {
            drive("scenario_text", &std::fs::read(path).unwrap());
        }
    }
}

#[test]
fn no_kept_text_of_readings_breaks_a_promise() {
    assert!(kept("readings_text") > 50);
}

#[test]
fn no_kept_curve_liquid_overlay_or_value_breaks_a_promise() {
    assert!(kept("given_files") > 50);
}

#[test]
fn no_kept_short_run_breaks_a_promise() {
    assert!(kept("short_run") > 50);
}

#[test]
fn every_target_has_a_program_for_the_fuzzer() {
    let programs = files("tests/fuzz/bin", ".rs");
    let names: Vec<_> = programs.iter().filter_map(|path| path.file_stem()?.to_str()).collect();
    let mut targets = TARGETS.map(|(name, _)| name);
    targets.sort_unstable();
    assert_eq!(names, targets);
}
