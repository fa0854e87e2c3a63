//! Every mistake of a file in the first round, each at its line, and nothing but them.

use checks::command::millstream;
use checks::{put_beside_data, root};
use std::collections::BTreeSet;

/// A mistake: what it is made of in a shipped scenario, and what stands there then.
struct Mistake {
    was: &'static str,
    is: &'static str,
    /// Part of its message.
    says: &'static str,
}

const fn mistake(was: &'static str, is: &'static str, says: &'static str) -> Mistake {
    Mistake { was, is, says }
}

/// Mistakes of keys, types, units, ranges, words, names and meaning; each on a line of its own where it occurs.
const MISTAKES: [Mistake; 23] = [
    mistake("temperature = \"15 degC\"", "temperature = \"15\"", "has no unit"),
    mistake("temperature = \"60 degF\"", "temprature = \"60 degF\"", "unknown key `temprature`"),
    mistake("surface_above_boom = \"", "surface_above_boom = \"1,", "has a comma"),
    mistake("by = \"pump speed\"", "by = \"pump sped\"", "there is no pump or valve called"),
    mistake("spacing = \"", "spacing = \"-", "must be greater than 0"),
    mistake("feed = \"centre\"", "feed = \"center\"", "is not possible here"),
    mistake("feed = \"one end\"", "feed = \"end\"", "is not possible here"),
    mistake("material = \"stainless\"", "material = \"stainles\"", "unknown material"),
    mistake("\"elbow 90\", \"exit\"", "\"elbow 91\", \"exit\"", "unknown fitting"),
    mistake("\"barb\", \"barb\"", "\"barb\", \"brab\"", "unknown fitting"),
    mistake("section_valve = { kv = \"", "section_valve = { kvv = \"", "unknown key `kvv`"),
    mistake("agitation = { orifice = \"7 mm\" }", "agitation = \"7 mm\"", "it takes a table"),
    mistake(
        "strainer = { kv = \"30 m3/h\" }",
        "strainer = { kv = \"30 bar\" }",
        "is a unit of pressure",
    ),
    mistake("size = \"04\"", "size = \"4\"", "there is no tip size"),
    mistake("size = \"08\"", "size = 8", "is a number; it takes a text"),
    mistake(
        "window = [\"1.5 bar\", \"5 bar\"]",
        "window = [\"5 bar\", \"1.5 bar\"]",
        "must give the lower value first",
    ),
    mistake("speed = \"10 km/h\"", "speed = \"10 bar\"", "is a unit of pressure"),
    mistake("rate_off = \"5 %\"", "rate_of = \"5 %\"", "unknown key `rate_of`"),
    mistake("do = \"circulate\"", "do = \"circle\"", "is not possible here"),
    mistake(
        "do = \"spray\"",
        "do = \"spray\"\nsections = [\"no such one\"]",
        "there is no section called",
    ),
    mistake(
        "do = \"prime\"",
        "do = \"prime\"\nclosed_tips = [\"no such tip\"]",
        "there is no tip called",
    ),
    mistake("valves = { return-valve = ", "valves = { return-valfe = ", "there is no valve called"),
    mistake("lines_hold = \"100 %\"", "lines_hold = \"120 %\"", "must be at most"),
];

/// The next of a series of numbers that a seed begins (Numerical Recipes' quick generator, from memory).
fn next(seed: &mut u32) -> usize {
    *seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
    (*seed >> 16) as usize
}

/// Lines of `printed` that a fault is reported at, with its message.
fn reported(printed: &str) -> Vec<(usize, String)> {
    let fault = |line: &str| {
        let (_, rest) = line.split_once("changed.toml:")?;
        let (at, rest) = rest.split_once(':')?;
        Some((at.parse().ok()?, rest.split_once(": ")?.1.to_owned()))
    };
    printed.lines().filter_map(fault).collect()
}

#[test]
fn mistakes_put_into_shipped_scenarios_are_all_reported_in_the_first_round() {
    let mut seed = 2_718;
    let (mut made, mut rounds) = (0, 0);
    for path in checks::command::files("scenarios", ".toml") {
        let shipped = std::fs::read_to_string(&path).unwrap();
        // Each kind of mistake by itself in some, all together in others.
        for round in 0..4 {
            let mut text = shipped.clone();
            let mut expected: Vec<(String, &str)> = Vec::new();
            for mistake in &MISTAKES {
                let chosen = round == 3 || next(&mut seed).is_multiple_of(2);
                if !chosen || text.matches(mistake.was).count() == 0 {
                    continue;
                }
                text = text.replacen(mistake.was, mistake.is, 1);
                let line = mistake.is.lines().last().unwrap_or(mistake.is);
                expected.push((line.to_owned(), mistake.says));
            }
            let place = tempfile::tempdir().unwrap();
            let changed = put_beside_data(&text, place.path());
            let printed = millstream(&["check", &changed.to_string_lossy()]);
            let found = reported(&printed.err);
            let lines: Vec<&str> = text.lines().collect();
            for (line, says) in &expected {
                let is_it = |(at, message): &(usize, String)| {
                    lines[at - 1].contains(line.as_str()) && message.contains(says)
                };
                assert!(
                    found.iter().any(is_it),
                    "{}: {line}: {says}\n{}",
                    path.display(),
                    printed.err
                );
            }
            let others: BTreeSet<&(usize, String)> = found
                .iter()
                .filter(|(at, message)| {
                    !expected.iter().any(|(line, says)| {
                        lines[at - 1].contains(line.as_str()) && message.contains(says)
                    })
                })
                .collect();
            assert!(
                others.is_empty(),
                "{}: no mistake: {others:?}\n{}",
                path.display(),
                printed.err
            );
            (made, rounds) = (made + expected.len(), rounds + 1);
        }
    }
    assert!(made > 5 * rounds, "{made} mistakes in {rounds} files");
}

/// Line and column of each mistake of `tests/faults/twenty-mistakes.toml`, as counted in the file.
#[test]
fn twenty_mistakes_of_different_kinds_are_twenty_faults() {
    let path = root().join("tests/faults/twenty-mistakes.toml");
    let printed = millstream(&["check", &path.to_string_lossy()]);
    let text = std::fs::read_to_string(&path).unwrap();
    for wrong in [
        "titel",
        "\"metric\"",
        "\"15\"",
        "\"2000 bar\"",
        "1200",
        "\"4 barr\"",
        "\"-50 mm\"",
        "\"pump sped\"",
        "\"stainles\"",
        "\"0,25 m\"",
        "{ bore = \"32 mm\" }",
        "\"elbow 91\"",
        "\"9 m3/h\"",
        "\"4\"",
        "[\"5 bar\", \"1 bar\"]",
        "at_last",
        "24.5",
        "\"sprayy\"",
        "\"left\"",
        "right-valv",
    ] {
        let at = text.find(wrong).unwrap();
        let (line, start) =
            (1 + text[..at].matches('\n').count(), text[..at].rfind('\n').map_or(0, |end| end + 1));
        let place =
            format!("twenty-mistakes.toml:{line}:{}: ", 1 + text[start..at].chars().count());
        assert!(printed.err.contains(&place), "{wrong} at {place}{}", printed.err);
    }
}
