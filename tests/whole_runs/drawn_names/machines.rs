//! Random machines: booms in the short form with parts that no boom has, and networks.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::fmt::Write as _;

/// A scenario.
pub(crate) struct Machine {
    pub(crate) name: String,
    pub(crate) text: String,
    /// Parts whose names its picture has, and how many of them may be missing.
    pub(crate) expected: Vec<String>,
    pub(crate) may_miss: usize,
}

const PUMP: &str =
    "points = [[\"0 L/min\", \"60 m\"], [\"300 L/min\", \"52 m\"], [\"700 L/min\", \"25 m\"]]";
const SPRAY: &str = "[[step]]\nname = \"spray\"\ndo = \"spray\"\n";
/// Beginnings of names, short and long.
const NAMES: [&str; 8] = [
    "x",
    "drain",
    "fill",
    "rinse-hose",
    "fence-line-of-the-left-wing",
    "hand-wash",
    "transfer",
    "second",
];

/// The boom of number `seed`, always the same.
pub(crate) fn short_form(seed: u64) -> Machine {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let (sections, tips) = (rng.random_range(1..=13), rng.random_range(3..=12));
    let returns = rng.random_bool(0.5);
    let mut text = String::from("title = \"Random boom\"\n[tank]\ncapacity = \"2000 L\"\n");
    let feed = if rng.random_bool(0.5) { "one end" } else { "centre" };
    // Writing to a String cannot fail.
    let _ = write!(text, "[pump]\n{PUMP}\nsuction = {{ bore = \"63 mm\", length = \"2 m\" }}\n");
    let mut nodes: Vec<String> = ["pump-in", "pump-out", "header"].map(str::to_owned).to_vec();
    if rng.random_bool(0.5) {
        text.push_str("suction_strainer = { kv = \"60 m3/h\" }\n");
        nodes.push("suction-strainer-out".into());
    }
    let _ = write!(
        text,
        "[control]\nhold = \"2 bar\"\nby = \"pump speed\"\n[boom]\nwidth = \"{} m\"\nspacing = \"0.5 m\"\nfeed = \"{feed}\"\n\
         return = {returns}\ntube = {{ bore = \"25 mm\" }}\nsections = {sections}\ntips_per_section = {tips}\n",
        0.5 * f64::from(sections * tips),
    );
    text.push_str("[supply]\nmain = { bore = \"50 mm\", length = \"6 m\" }\nhose = { bore = \"25 mm\" }\nsection_valve = { kv = \"9 m3/h\" }\n");
    for (key, part, node) in [
        ("strainer", "{ kv = \"30 m3/h\" }", Some("strainer-out")),
        ("meter", "{ kv = \"45 m3/h\" }", Some("meter-out")),
        ("agitation", "{ orifice = \"6 mm\" }", None),
        ("bypass", "{ kv = \"20 m3/h\", opening = \"5 %\" }", None),
        ("relief", "{ opens_at = \"8 bar\", kv = \"20 m3/h\" }", None),
    ] {
        if rng.random_bool(0.6) {
            let _ = writeln!(text, "{key} = {part}");
            nodes.extend(node.map(str::to_owned));
        }
    }
    if returns {
        text.push_str(
            "[return_path]\nhose = { bore = \"19 mm\" }\nmain = { bore = \"45 mm\", length = \"5 m\" }\nvalve = { kv = \"20 m3/h\" }\n",
        );
        nodes.push("return-header".into());
    }
    for _ in 0..2 {
        let (section, tip) = (rng.random_range(1..=sections), rng.random_range(1..=tips));
        nodes.push(format!("{section}-{tip:02}"));
    }
    text.push_str("[tips]\nsize = \"03\"\n");
    let mut expected = Vec::new();
    for k in 0..rng.random_range(1..=4) {
        stranger(&mut rng, k, &nodes, &mut text, &mut expected);
    }
    text.push_str(SPRAY);
    Machine { name: format!("boom {seed}"), text, expected, may_miss: 0 }
}

/// Writes parts that no boom has, joined to some of `nodes`.
fn stranger(
    rng: &mut ChaCha8Rng,
    k: usize,
    nodes: &[String],
    text: &mut String,
    names: &mut Vec<String>,
) {
    let base = format!("{}-{k}", NAMES[rng.random_range(0..NAMES.len())]);
    let mut any = || nodes[rng.random_range(0..nodes.len())].clone();
    let (a, b) = (any(), any());
    let mut part = |kind: &str, name: String, ends: [&str; 2], keys: &str| {
        let [from, to] = ends;
        let _ = write!(text, "[{kind}.{name}]\nfrom = \"{from}\"\nto = \"{to}\"\n{keys}\n");
        names.push(name);
    };
    const HOSE: &str = "bore = \"19 mm\"\nlength = \"1 m\"";
    const VALVE: &str = "kv = \"8 m3/h\"\nopening = \"closed\"";
    const CHECK: &str = "kv = \"20 m3/h\"\nopens_at = \"0.1 bar\"";
    let (middle, end) = (format!("{base}-middle"), format!("{base}-end"));
    match rng.random_range(0..6) {
        0 => part("line", base, [&a, &end], HOSE),
        1 if a != b => {
            part("line", format!("{base}-hose"), [&a, &middle], HOSE);
            part("valve", format!("{base}-valve"), [&middle, &b], VALVE);
        }
        2 => {
            part("pump", base.clone(), ["tank", &middle], &format!("{PUMP}\nspeed = \"20 %\""));
            part("check_valve", format!("{base}-check"), [&middle, "header"], CHECK);
        }
        3 => {
            part("line", format!("{base}-hose"), [&end, &middle], HOSE);
            part("check_valve", format!("{base}-check"), [&middle, "pump-in"], CHECK);
            let _ = write!(
                text,
                "[tank.{base}]\nsurface = \"0.5 m\"\ncapacity = \"200 L\"\n[node.{end}]\ntank = \"{base}\"\n"
            );
        }
        4 => {
            part("line", base.clone(), [&a, &middle], HOSE);
            part("line", format!("{base}-left"), [&middle, &format!("{end}-left")], HOSE);
            part("line", format!("{base}-right"), [&middle, &format!("{end}-right")], HOSE);
        }
        _ => {
            part("line", base.clone(), [&a, &end], HOSE);
            let _ = write!(text, "[tip.{base}-tip]\nnode = \"{end}\"\nsize = \"02\"\n");
        }
    }
}

/// The network of number `seed`, always the same.
pub(crate) fn network(seed: u64) -> Machine {
    let mut rng = ChaCha8Rng::seed_from_u64(1000 + seed);
    let nodes: usize = rng.random_range(6..=36);
    let tanks = rng.random_range(1..=2);
    let mut text = String::from("title = \"Random network\"\n");
    for tank in 0..tanks {
        let _ = write!(
            text,
            "[tank.tank-{tank}]\nsurface = \"1 m\"\ncapacity = \"500 L\"\n[node.n{tank}]\ntank = \"tank-{tank}\"\n"
        );
    }
    let last = nodes - 1;
    let _ =
        write!(text, "[pump.pump]\nfrom = \"n0\"\nto = \"n{last}\"\n{PUMP}\nspeed = \"50 %\"\n");
    let mut expected = vec!["pump".to_owned()];
    let mut links: Vec<(usize, usize)> =
        (1..nodes).map(|to| (rng.random_range(0..to), to)).collect();
    for _ in 0..rng.random_range(0..=nodes / 3) {
        let (a, b) = (rng.random_range(0..nodes), rng.random_range(0..nodes));
        links.extend((a != b).then_some((a, b)));
    }
    for (k, (from, to)) in links.into_iter().enumerate() {
        let (kind, keys) = match rng.random_range(0..10) {
            0 => ("valve", "kv = \"9 m3/h\""),
            1 => ("strainer", "kv = \"30 m3/h\""),
            2 => ("check_valve", "kv = \"20 m3/h\"\nopens_at = \"0.1 bar\""),
            _ => ("line", "bore = \"25 mm\"\nlength = \"3 m\""),
        };
        let name = format!("{}-{k}", NAMES[rng.random_range(0..NAMES.len())]);
        let _ = write!(text, "[{kind}.{name}]\nfrom = \"n{from}\"\nto = \"n{to}\"\n{keys}\n");
        expected.push(name);
    }
    for k in 0..rng.random_range(1..=nodes / 3) {
        let node = rng.random_range(tanks..nodes);
        let _ = write!(text, "[tip.tip-{k}]\nnode = \"n{node}\"\nsize = \"04\"\n");
    }
    text.push_str(SPRAY);
    let may_miss = expected.len() / 20;
    Machine { name: format!("network {seed}"), text, expected, may_miss }
}
