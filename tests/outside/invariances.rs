//! What must not change a result: order, names, units, mirror, lossless parts, cut lines, stubs without volume, halved moves.

use crate::random_machines::{Draw, scenario};
use sim_core::scenario::{NoFiles, Scenario, expand, read};
use sim_core::simulation::{Record, run};
use std::collections::BTreeMap;

/// Results by name of step and place, with the kind whose largest value they are measured by.
type Results = BTreeMap<(String, String), (&'static str, f64)>;

/// A change of the text of a long form that must not change what comes out.
type Change = fn(&str, &mut Draw) -> String;

/// What stands between two blank lines of a long form, and the head ahead of its tables.
fn blocks(text: &str) -> Vec<String> {
    text.split("\n\n").map(str::to_owned).collect()
}

fn text_of(blocks: &[String]) -> String {
    blocks.join("\n\n") + "\n"
}

/// The value of `key` in `block`, quotes taken off.
fn value<'a>(block: &'a str, key: &str) -> &'a str {
    let line = block.lines().find_map(|line| line.strip_prefix(key)?.strip_prefix(" = "));
    line.expect("a line of a long form has this key").trim_matches('"')
}

/// `block` with `key` set to `to`.
fn with(block: &str, key: &str, to: &str) -> String {
    let set = |line: &str| {
        let is_key = line.strip_prefix(key).is_some_and(|rest| rest.starts_with(" = "));
        if is_key { format!("{key} = {to}") } else { line.to_owned() }
    };
    block.lines().map(set).collect::<Vec<_>>().join("\n")
}

/// The height of node `name`, m.
fn elevation_m(blocks: &[String], name: &str) -> f64 {
    let head = format!("[node.{name}]");
    let block = blocks.iter().find(|block| block.starts_with(&head)).expect("the node is there");
    metres(value(block, "elevation"))
}

fn metres(length: &str) -> f64 {
    length.trim_end_matches(" m").parse().expect("a length in metres")
}

/// A line that is no arm of a tee: where its block is, its name and its ends.
fn some_line(blocks: &[String], draw: &mut Draw) -> (usize, String, String, String) {
    let tees: String = blocks.iter().filter(|block| block.contains("[tee")).cloned().collect();
    let name = |block: &str| {
        let name = block.strip_prefix("[line.")?.split(']').next()?.to_owned();
        (!tees.contains(&format!("\"{name}\""))).then_some(name)
    };
    let lines: Vec<(usize, String)> =
        blocks.iter().enumerate().filter_map(|(i, block)| Some((i, name(block)?))).collect();
    let (at, name) = lines[draw.below(lines.len())].clone();
    let (from, to) = (value(&blocks[at], "from").to_owned(), value(&blocks[at], "to").to_owned());
    (at, name, from, to)
}

/// Tables of parts, nodes and tips in another order.
fn shuffled(text: &str, draw: &mut Draw) -> String {
    let (mut free, mut kept) = (Vec::new(), Vec::new());
    for block in blocks(text) {
        let single = block.starts_with('[') && !block.starts_with("[[");
        if single { free.push(block) } else { kept.push(block) }
    }
    draw.shuffle(&mut free);
    // What stands ahead of all tables stays there, and steps keep their order.
    let head = kept.remove(0);
    text_of(&[vec![head], free, kept].concat())
}

/// A strainer without loss at the far end of a line.
fn with_a_lossless_part(text: &str, draw: &mut Draw) -> String {
    let mut blocks = blocks(text);
    let (at, _, _, to) = some_line(&blocks, draw);
    let elevation = elevation_m(&blocks, &to);
    blocks[at] = with(&blocks[at], "to", "\"between\"");
    blocks.push(format!("[node.between]\nelevation = \"{elevation} m\""));
    blocks
        .push(format!("[strainer.lossless]\nfrom = \"between\"\nto = \"{to}\"\nkv = \"1e5 m3/h\""));
    text_of(&blocks)
}

/// A dead end of a cubic millimetre.
fn with_a_stub(text: &str, draw: &mut Draw) -> String {
    let mut blocks = blocks(text);
    let (_, _, _, to) = some_line(&blocks, draw);
    let elevation = elevation_m(&blocks, &to);
    blocks.push(format!("[node.stub-end]\nelevation = \"{elevation} m\""));
    blocks.push(format!(
        "[line.stub]\nfrom = \"{to}\"\nto = \"stub-end\"\nbore = \"1 mm\"\nlength = \"1 mm\""
    ));
    text_of(&blocks)
}

/// One line as two.
fn with_a_cut_line(text: &str, draw: &mut Draw) -> String {
    let mut blocks = blocks(text);
    let (at, name, from, to) = some_line(&blocks, draw);
    let share = draw.between(0.2, 0.8);
    let (low, high) = (elevation_m(&blocks, &from), elevation_m(&blocks, &to));
    let whole = blocks[at].clone();
    let piece = |share: f64| {
        let length = metres(value(&whole, "length"));
        let losses: f64 = value(&whole, "losses").parse().expect("a sum of losses");
        let block = with(&whole, "length", &format!("\"{} m\"", share * length));
        with(&block, "losses", &(share * losses).to_string())
    };
    blocks[at] = with(&piece(share), "to", "\"cut\"");
    let second = with(&piece(1.0 - share), "from", "\"cut\"");
    blocks.push(second.replacen(&format!("[line.{name}]"), "[line.second-piece]", 1));
    blocks.push(format!("[node.cut]\nelevation = \"{} m\"", low + share * (high - low)));
    text_of(&blocks)
}

fn with_halved_moves(text: &str, _: &mut Draw) -> String {
    text.replace("longest_move = \"0.1 s\"", "longest_move = \"0.05 s\"")
}

fn unchanged(text: &str, _: &mut Draw) -> String {
    text.to_owned()
}

fn parsed(text: &str) -> Scenario {
    read(text, &NoFiles).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"))
}

/// What `scenario` comes to.
fn results(scenario: &Scenario) -> Result<Results, String> {
    let record = run(&scenario.machine, &scenario.course).map_err(|error| error.to_string())?;
    Ok(collected(scenario, &record))
}

fn collected(scenario: &Scenario, record: &Record) -> Results {
    let plumbing = &scenario.machine.plumbing;
    let mut results = Results::new();
    for (step, of) in scenario.course.steps.iter().zip(&record.steps) {
        let mut add = |kind: &'static str, place: &str, value: f64| {
            results.insert((step.name.clone(), format!("{kind} {place}")), (kind, value));
        };
        for (node, pa) in plumbing.nodes.iter().zip(&of.end.static_pressure_pa) {
            add("pressure", &node.name, *pa);
        }
        for (tip, flow) in plumbing.tips.iter().zip(&of.end.tip_flow_m3_s) {
            add("flow", &tip.name, *flow);
        }
        for (branch, flow) in plumbing.branches.iter().zip(&of.end.flow_m3_s) {
            add("flow", &format!("through {}", branch.name), *flow);
        }
        let Some(moved) = &of.moved else { continue };
        for (tip, arrival) in plumbing.tips.iter().zip(&moved.arrivals) {
            add("time", &tip.name, arrival.full_s.unwrap_or(0.0));
        }
        add("volume", "sprayed", moved.sprayed.liquid_m3);
        if let Some(air) = &moved.air {
            add("volume", "returned", air.returned.liquid_m3);
        }
    }
    results
}

/// The largest difference of any result from that of `before`, over the largest of its kind, with what differs. Of `kinds` alone.
fn difference(before: &Results, after: &Results, kinds: &[&str]) -> (f64, String) {
    let scale = |kind: &str| {
        let of_kind = before.values().filter(|(other, _)| *other == kind);
        of_kind.fold(f64::MIN_POSITIVE, |most, (_, value)| most.max(value.abs()))
    };
    let scales: BTreeMap<&str, f64> = kinds.iter().map(|kind| (*kind, scale(kind))).collect();
    let counted = before.iter().filter(|(_, (kind, _))| scales.contains_key(kind));
    let differences = counted.map(|(name, (kind, value))| {
        let other = after.get(name).map_or(f64::INFINITY, |(_, other)| *other);
        ((value - other).abs() / scales[kind], format!("{name:?}: {value} and {other}"))
    });
    differences.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or_default()
}

const ALL: [&str; 4] = ["pressure", "flow", "time", "volume"];
const ALL_BUT_TIMES: [&str; 3] = ["pressure", "flow", "volume"];
/// With air, flows and pressures of one moment are those of single slugs; what came back counts.
const VOLUMES: [&str; 1] = ["volume"];

/// Asserts that `change` moves results of `kinds` by at most `most` of the largest of their kind.
fn nothing_changes(
    change: Change,
    seeds: std::ops::Range<u64>,
    with_air: bool,
    (most, kinds): (f64, &[&str]),
) {
    let mut ran = 0;
    for seed in seeds {
        let short = parsed(&scenario(&mut Draw::new(seed), with_air));
        let Ok(before) = results(&short) else { continue };
        let changed = change(&expand(&short), &mut Draw::new(seed + 1_000_000));
        let after = results(&parsed(&changed)).unwrap_or_else(|error| panic!("{seed}: {error}"));
        let (off, what) = difference(&before, &after, kinds);
        assert!(off <= most, "machine {seed} moves by {off:.1e}: {what}");
        ran += 1;
    }
    assert!(ran > 0, "no machine runs");
}

#[test]
fn the_long_form_gives_what_the_short_form_gave() {
    nothing_changes(unchanged, 0..12, false, (0.0, &ALL));
    nothing_changes(unchanged, 0..2, true, (0.0, &ALL));
}

#[test]
fn order_of_tables_changes_nothing() {
    nothing_changes(shuffled, 0..12, false, (1e-7, &ALL));
    nothing_changes(shuffled, 0..3, true, (1e-2, &VOLUMES));
}

#[test]
fn a_part_without_loss_changes_nothing() {
    nothing_changes(with_a_lossless_part, 0..24, false, (1e-6, &ALL_BUT_TIMES));
    nothing_changes(with_a_lossless_part, 0..3, true, (1e-2, &VOLUMES));
}

#[test]
fn a_dead_end_without_volume_changes_nothing() {
    nothing_changes(with_a_stub, 0..12, false, (1e-6, &ALL));
    nothing_changes(with_a_stub, 0..3, true, (1e-2, &VOLUMES));
}

/// Arrivals behind a cut line may differ: streams mix where pieces join, and a laminar line that is cut spreads less.
#[test]
fn a_line_that_is_cut_in_two_changes_no_flow() {
    nothing_changes(with_a_cut_line, 0..12, false, (1e-6, &ALL_BUT_TIMES));
    nothing_changes(with_a_cut_line, 0..3, true, (1e-2, &VOLUMES));
}

#[test]
fn half_the_longest_move_changes_no_arrival_by_more_than_a_move() {
    nothing_changes(with_halved_moves, 0..12, false, (5e-3, &ALL));
    nothing_changes(with_halved_moves, 0..3, true, (1e-2, &VOLUMES));
}

/// `cargo test --release -p checks --test outside -- --ignored invariances` draws machines by the hundred.
#[test]
#[ignore = "takes minutes; the command is beside it"]
fn nothing_that_must_not_matter_matters_on_hundreds_of_machines() {
    let exact: [(Change, &[&str]); 4] = [
        (unchanged, &ALL),
        (shuffled, &ALL),
        (with_a_lossless_part, &ALL_BUT_TIMES),
        (with_a_stub, &ALL),
    ];
    for (change, kinds) in exact {
        nothing_changes(change, 0..400, false, (1e-6, kinds));
        nothing_changes(change, 0..60, true, (1e-2, &VOLUMES));
    }
}
