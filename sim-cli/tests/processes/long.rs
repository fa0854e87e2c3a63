//! A run of more than a minute says so in its first seconds.

use crate::support::{run, scenario};
use std::io::{BufRead as _, BufReader};
use std::time::{Duration, Instant};

#[test]
fn a_run_of_hours_says_so_in_its_first_seconds() {
    let place = tempfile::tempdir().unwrap();
    let curve = "pumps/heron-centrifugal.csv";
    std::fs::create_dir(place.path().join("pumps")).unwrap();
    std::fs::copy(scenario(curve), place.path().join(curve)).unwrap();
    let text = std::fs::read_to_string(scenario("heron-36m-prime-one-end.toml")).unwrap();
    let more = "\n[[step]]\nname = \"long\"\ndo = \"circulate\"\nfor = \"100000 s\"\n[model]\nlongest_move = \"1 ms\"\n";
    let long = place.path().join("long.toml");
    std::fs::write(&long, text + more).unwrap();
    let begun = Instant::now();
    let mut child = run(&long, &place.path().join("out")).spawn().unwrap();
    let mut message = String::new();
    BufReader::new(child.stderr.take().unwrap()).read_line(&mut message).unwrap();
    let after = begun.elapsed();
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(message.starts_with("note: at its pace this computes for some "), "{message}");
    assert!(message.ends_with("; Ctrl-C ends it, and nothing is then written\n"), "{message}");
    assert!(after < Duration::from_secs(30), "{after:?}");
}
