//! Ctrl-C, and being asked to end, at any moment.

use crate::support::{contents, message, run, scenario, whole};
use std::io::Read as _;
use std::os::unix::process::ExitStatusExt as _;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

/// Sends `signal` to the process with that number.
fn send(signal: &str, process: u32) {
    let status = Command::new("sh").args(["-c", &format!("kill -{signal} {process}")]).status();
    assert!(status.unwrap().success());
}

/// A run of `scenario` into `out` that gets `signal` after `wait`; its exit code and what it said.
fn interrupted(scenario: &Path, out: &Path, signal: &str, wait: Duration) -> (Option<i32>, String) {
    let mut child = run(scenario, out).spawn().unwrap();
    // Results must not fill the pipe while nobody reads.
    let mut printed = child.stdout.take().unwrap();
    let reader = std::thread::spawn(move || printed.read_to_end(&mut Vec::new()));
    std::thread::sleep(wait);
    if child.try_wait().unwrap().is_none() {
        send(signal, child.id());
    }
    let output = child.wait_with_output().unwrap();
    reader.join().unwrap().unwrap();
    assert_eq!(output.status.signal(), None, "killed instead of ended");
    (output.status.code(), message(&output))
}

#[test]
fn an_interrupted_run_leaves_the_folder_as_it_was_or_whole_and_says_so_in_one_line() {
    let (before, after) = (scenario("larkfield-12m.toml"), scenario("heron-36m-prime-centre.toml"));
    let (old, new) = (whole(&before), whole(&after));
    let place = tempfile::tempdir().unwrap();
    let out = place.path().join("out");
    assert!(run(&before, &out).output().unwrap().status.success());
    let first = contents(&out);
    assert_eq!(first, old);
    let start = Instant::now();
    assert!(run(&after, &place.path().join("timing")).output().unwrap().status.success());
    let long = start.elapsed();
    let mut ends = [0, 0];
    // From the first moment, when the handler may not stand yet, to after the end.
    for part in 1..=12u32 {
        let signal = if part % 2 == 0 { "INT" } else { "TERM" };
        let (code, said) = interrupted(&after, &out, signal, long * part / 11);
        let now = contents(&out);
        match code {
            Some(130) if now == old => {
                assert_eq!(said, "interrupted: nothing was written\n");
                ends[0] += 1;
            }
            Some(130) => {
                assert_eq!(said, "interrupted: all files had been written\n");
                assert_eq!(now.keys().collect::<Vec<_>>(), new.keys().collect::<Vec<_>>());
                assert!(now == new);
            }
            Some(0) => {
                assert!(now == new, "{:?}", now.keys());
                ends[1] += 1;
            }
            other => panic!("exit code {other:?}: {said}"),
        }
        assert!(run(&before, &out).output().unwrap().status.success());
        assert!(contents(&out) == old, "the next run does not stand alone");
    }
    assert!(ends[0] > 0, "no run was interrupted");
}

#[test]
fn an_interrupted_run_into_a_new_folder_leaves_none() {
    let place = tempfile::tempdir().unwrap();
    let year = place.path().join("year.toml");
    let curve = "pumps/heron-centrifugal.csv";
    std::fs::create_dir(place.path().join("pumps")).unwrap();
    std::fs::copy(scenario(curve), place.path().join(curve)).unwrap();
    let text = std::fs::read_to_string(scenario("heron-36m-prime-one-end.toml")).unwrap();
    let long = "\n[[step]]\nname = \"long\"\ndo = \"circulate\"\nfor = \"100000 s\"\n";
    std::fs::write(&year, text + long).unwrap();
    let out = place.path().join("some/where/out");
    for signal in ["INT", "TERM"] {
        let (code, said) = interrupted(&year, &out, signal, Duration::from_millis(700));
        assert_eq!(code, Some(130), "{said}");
        assert!(said.ends_with("interrupted: nothing was written\n"), "{said}");
        assert!(!place.path().join("some").exists());
    }
}
