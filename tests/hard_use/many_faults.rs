//! Files of nothing but faults: refused in little more time than it takes to read them, in few words.

use checks::command::{Printed, millstream};
use checks::{put_beside_data, root};
use std::time::{Duration, Instant};

const MANY: usize = 20_000;
/// Each with each, [`MANY`] names take minutes in the build that tests run.
const SOON: Duration = Duration::from_secs(20);

fn many(line: impl Fn(usize) -> String) -> String {
    (0..MANY).map(line).collect()
}

fn checked(text: &str) -> Printed {
    let place = tempfile::tempdir().unwrap();
    let path = put_beside_data(text, place.path());
    let begun = Instant::now();
    let printed = millstream(&["check", &path.to_string_lossy()]);
    assert!(begun.elapsed() < SOON, "{:?}", begun.elapsed());
    printed
}

/// The first hundred of `faults` are reported, and how many there are.
fn reported_in_short(printed: &Printed, faults: usize) {
    assert_eq!(printed.code, 2);
    let end = format!(": and {} more\n\n", faults - 100);
    let count = format!(": {faults} faults; nothing was written\n");
    let tail = &printed.err[printed.err.len() - 300..];
    assert!(printed.err.contains(&end) && printed.err.ends_with(&count), "{tail}");
    assert!(printed.err.len() < 100_000, "{}", printed.err.len());
}

fn shipped(name: &str) -> String {
    std::fs::read_to_string(root().join("scenarios").join(name)).unwrap()
}

#[test]
fn unknown_keys_on_lines_of_their_own_and_on_one_line() {
    reported_in_short(&checked(&many(|i| format!("unknown{i} = {i}\n"))), MANY);
    let keys = many(|i| format!(", u{i} = 1"));
    let line = format!("supply = {{ hose = 1, header = 1, section_valve = 1{keys} }}\n");
    let printed = checked(&line);
    assert!(printed.err.len() < 100_000 && printed.err.contains(": and "), "{}", printed.err.len());
}

#[test]
fn names_that_are_none_of_many_names() {
    let boom = shipped("heron-36m-centre.toml")
        .replace("sections = 6", "sections = 200")
        .replace("tips_per_section = 12", "tips_per_section = 100")
        .replace("width = \"36 m\"", "width = \"10000 m\"");
    let names = many(|i| format!("\"tip {i}\", "));
    let step = format!("\n[[step]]\nname = \"x\"\ndo = \"spray\"\nclosed_tips = [{names}]\n");
    reported_in_short(&checked(&(boom + &step)), MANY);
}

#[test]
fn names_without_end_are_not_compared() {
    let [a, b] = ["a", "b"].map(|letter| letter.repeat(1 << 20));
    let line = format!(
        "[node.{a}b]\ntank = \"{a}\"\n[tank.{b}a]\nsurface = \"1 m\"\n[gauge.{b}]\nnode = \"{a}a\"\n"
    );
    assert_eq!(checked(&line).code, 2);
}

#[test]
fn lines_that_no_tank_feeds_and_hang_too_low() {
    let line = |i: usize| {
        format!(
            "[line.l{i}]\nfrom = \"x{i}\"\nto = \"y{i}\"\nbore = \"1 mm\"\nlength = \"1 m\"\nsag = \"1 m\"\n"
        )
    };
    reported_in_short(&checked(&(shipped("larkfield-12m.toml") + &many(line))), 2 * MANY);
}

#[test]
fn readings_at_no_known_place_and_of_too_many_states() {
    let place = tempfile::tempdir().unwrap();
    let scenario = root().join("scenarios/larkfield-12m.toml").to_string_lossy().into_owned();
    let diagnosed = |name: &str, text: &str| {
        let path = place.path().join(name);
        std::fs::write(&path, text).unwrap();
        let begun = Instant::now();
        let printed = millstream(&["diagnose", &scenario, &path.to_string_lossy()]);
        assert!(begun.elapsed() < SOON, "{:?}", begun.elapsed());
        printed
    };
    let row = |i: usize| format!("[[state.gauge]]\nat = \"none{i}\"\nreads = \"1 bar\"\n");
    reported_in_short(&diagnosed("rows.toml", &format!("[[state]]\n{}", many(row))), MANY);
    let states = many(|i| format!("s{i},gauge,boom,1 bar\n"));
    let printed = diagnosed("states.csv", &format!("state,kind,at,reads\n{states}"));
    assert!(
        printed.err.contains("20000 states are more than the 200 of a file"),
        "{}",
        printed.err
    );
}
