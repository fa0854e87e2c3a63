//! The examples, which `cargo test` builds first, run, and what they print is what they are there to show.

#![allow(clippy::unwrap_used, reason = "tests may unwrap, their helpers too")]

use std::path::Path;
use std::process::Command;

/// What the example `name` prints.
fn printed(name: &str) -> String {
    // Examples are built beside the tests, in the folder above that of their binaries.
    let tests = std::env::current_exe().unwrap();
    let folder = tests.parent().and_then(Path::parent).unwrap().join("examples");
    let path = folder.join(format!("{name}{}", std::env::consts::EXE_SUFFIX));
    let output = Command::new(&path).output();
    let output = output
        .unwrap_or_else(|e| panic!("{}: {e}; `cargo test -p sim-core` builds it", path.display()));
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// The number ahead of `unit` in `line`.
fn number(line: &str, unit: &str) -> f64 {
    let ahead = line.split(unit).next().unwrap().trim_end();
    ahead.rsplit(' ').next().unwrap().parse().unwrap_or_else(|_| panic!("{line}"))
}

#[test]
fn the_boom_put_together_in_code_sprays_from_every_tip() {
    let said = printed("steady_boom");
    let pressures: Vec<f64> = said.lines().skip(1).map(|line| number(line, " bar")).collect();
    assert_eq!(pressures.len(), 12);
    assert!(pressures.iter().all(|bar| (2.5..3.0).contains(bar)), "{said}");
}

#[test]
fn the_primed_boom_comes_to_full_strength_section_by_section() {
    let said = printed("priming");
    assert_eq!(said.lines().filter(|line| line.starts_with("section")).count(), 3);
    assert!(!said.contains("not yet"), "{said}");
}

#[test]
fn the_blown_line_gives_back_most_of_what_it_held() {
    let said = printed("purge_line");
    let line = said.lines().next().unwrap();
    let (home, held) = (number(line, " L of"), number(line, " L return"));
    // A bore of 25 mm over 20 m.
    assert!((held - 9.82).abs() < 0.01 && home > 0.5 * held && home < held, "{said}");
}

#[test]
fn the_readings_of_the_example_point_at_worn_tips_in_the_middle() {
    let said = printed("diagnose");
    let first = said.lines().next().unwrap();
    assert!(first.contains("section 2") && number(first, " %") > 50.0, "{said}");
}
