//! Short runs of scenarios that nobody would write: finite numbers that balance, or a word why not.

use super::closed_files::Closed;
use super::finite::not_finite;
use super::mutate;
use serde_json::Value;
use sim_cli::{Streams, exit};
use sim_core::scenario::{Scenario, read};
use std::ffi::OsString;
use std::path::Path;

/// Largest network that is run.
const MOST_BRANCHES: usize = 400;
/// Longest time that is simulated, s.
const LONGEST_S: f64 = 20.0;
/// Most moves, at least, of all steps.
const MOST_MOVES: f64 = 3000.0;

/// The first byte says what is written, the rest what is run.
pub(super) fn target(input: &[u8]) {
    let Some((&form, input)) = input.split_first() else { return };
    let Some(text) = mutate::scenario(input) else { return };
    let Ok(scenario) = read(&text, &Closed { brought: None }) else { return };
    if !small(&scenario) {
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let path = crate::put_beside_data(&text, place.path());
    match form % 64 {
        0 => written(&path, &place.path().join("out")),
        1 | 2 => printed(&path, if form % 64 == 1 { "si" } else { "us" }),
        _ => summed_up(&path),
    }
}

/// Whether the run is a short one.
fn small(scenario: &Scenario) -> bool {
    let seconds: f64 =
        scenario.course.steps.iter().filter_map(|step| Some(step.lasts?.most_s)).sum();
    scenario.machine.plumbing.branches.len() <= MOST_BRANCHES
        && scenario.course.steps.len() <= 40
        && seconds <= LONGEST_S
        && seconds / scenario.course.model.longest_move_s <= MOST_MOVES
}

/// Runs the command; its results where there are some to trust.
fn millstream(args: &[&str]) -> Option<String> {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut streams = Streams::unwatched(&mut out, &mut err);
    let args = ["millstream", "run"].iter().chain(args).map(OsString::from);
    let code = sim_cli::run(args, &mut streams);
    let (out, err) = (String::from_utf8(out).unwrap(), String::from_utf8(err).unwrap());
    if code == exit::DONE {
        // Keys that change nothing are all that is said beside results.
        assert!(err.is_empty() || err.ends_with("all else counts\n"), "{err}");
        return Some(out);
    }
    assert_eq!((code, out.as_str()), (exit::NOT_TRUSTED, ""), "{err}");
    assert!(!err.is_empty() && not_finite("message", &err).is_none(), "{err}");
    None
}

fn summed_up(path: &Path) {
    let Some(json) = millstream(&[&path.to_string_lossy(), "--json"]) else { return };
    assert_eq!(not_finite("summary.json", &json), None, "{json}");
    let summary: Value = serde_json::from_str(&json).unwrap();
    for balance in ["liquid", "product", "air"] {
        if let Some(off) = summary["balances"].get(balance) {
            assert!(off.as_f64().unwrap() < 1e-8, "{balance} is off by {off}");
        }
    }
}

fn printed(path: &Path, units: &str) {
    let Some(tables) = millstream(&[&path.to_string_lossy(), "--units", units]) else { return };
    assert_eq!(not_finite("tables", &tables), None, "{tables}");
}

fn written(path: &Path, folder: &Path) {
    if millstream(&[&path.to_string_lossy(), "--out", &folder.to_string_lossy()]).is_none() {
        assert!(!folder.exists());
        return;
    }
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read(&path).unwrap();
        if [".json", ".csv", ".svg"].iter().any(|ending| name.ends_with(ending)) {
            assert_eq!(not_finite(&name, &String::from_utf8(text).unwrap()), None, "{name}");
        }
    }
}
