//! Keys that a run passes over are said, with line and what to do; contradictions are refused.

use checks::command::{files, typed};
use checks::{Beside, put_beside_data, root};
use sim_core::findings::of_run;
use sim_core::scenario::{InputFault, NoFiles, Noted, expand, read_noting};
use sim_core::simulation::run;
use std::path::Path;

const MACHINE: &str = r#"
[tank]
capacity = "1000 L"
[pump]
points = [["0 L/min", "6 bar"], ["400 L/min", "3 bar"]]
suction = { bore = "51 mm", length = "2 m" }
[control]
hold = "3 bar"
[boom]
width = "12 m"
tube = { bore = "20 mm" }
sections = 3
tips_per_section = 8
[supply]
main = { bore = "38 mm", length = "6 m" }
hose = { bore = "25 mm" }
section_valve = { kv = "9 m3/h" }
[tips]
size = "04"
"#;

/// What `old` of [`MACHINE`] replaced by `new` says to no effect.
fn ignored(old: &str, new: &str) -> Vec<InputFault> {
    let text = MACHINE.replacen(old, new, 1);
    assert!(text != MACHINE, "{old}");
    read_noting(&text, &NoFiles).unwrap_or_else(|faults| panic!("{new}: {faults:#?}")).ignored
}

/// What is said of `new` in place of `old`, which is one thing with a help.
fn one(old: &str, new: &str) -> String {
    let notes = ignored(old, new);
    let [note] = &notes[..] else { panic!("{new}: {notes:#?}") };
    assert!(note.help.is_some(), "{note:?}");
    note.message.clone()
}

/// Places in [`MACHINE`] to put something.
const TANK: &str = "capacity = \"1000 L\"";
const CONTROL: &str = "hold = \"3 bar\"";
const BOOM: &str = "width = \"12 m\"";
const SUPPLY: &str = "hose = { bore = \"25 mm\" }";
const TIPS: &str = "size = \"04\"";
const RETURN: &str = "[return_path]\nhose = { bore = \"19 mm\" }\nmain = { bore = \"32 mm\", length = \"5 m\" }\n\
                      valve = { kv = \"12 m3/h\" }\n[tips]";

/// Each with what is put in its place, and what is said of it.
const CASES: &[(&str, &str, &str)] = &[
    (TIPS, "size = \"04\"\nflow = \"1.58 L/min\"", "`size` says nothing here"),
    (TIPS, "size = \"04\"\nat = \"2 bar\"", "`at` says nothing here"),
    (TIPS, "size = \"04\"\nopens_at = \"0.9 bar\"", "`opens_at` says nothing here"),
    ("[tips]", RETURN, "[return_path] says nothing: no section returns"),
    (
        TANK,
        "capacity = \"1000 L\"\nholds = \"1.1 m3\"",
        "the tank holds 1100.0 L, more than its nominal volume of 1000.0 L",
    ),
    (
        TANK,
        "capacity = \"1000 L\"\nheel = \"5 L\"",
        "`heel` says nothing: a tank that does not say what it `holds` never runs empty",
    ),
    (
        TANK,
        "capacity = \"1000 L\"\ninlet_above_boom = \"1 m\"",
        "`inlet_above_boom` says nothing: nothing but the suction is joined to the tank",
    ),
    (
        "[boom]",
        "[start]\ntanks_hold = \"90 %\"\n[boom]",
        "`tanks_hold` says nothing: no step lasts, so nothing moves",
    ),
    (
        "[boom]",
        "[start]\nlines_hold = \"90 %\"\n[boom]",
        "`lines_hold` says nothing: no step lasts, so nothing moves",
    ),
    (
        "[boom]",
        "[model]\nholdup = false\n[boom]",
        "`holdup` says nothing: no step lasts, so nothing moves",
    ),
    (
        "[boom]",
        "[model]\nslip = false\n[[step]]\ndo = \"spray\"\nfor = \"9 s\"\n[boom]",
        "`slip` says nothing: no line ever holds air in these steps",
    ),
    (
        SUPPLY,
        "hose = { bore = \"25 mm\" }\nrelief = { opens_at = \"2 bar\", kv = \"9 m3/h\" }",
        "the relief valve opens at 2.00 bar, below the 3.00 bar that step \"spray\" holds",
    ),
    (
        SUPPLY,
        "hose = { bore = \"25 mm\", length = \"3 m\" }\nhose_extra = \"1 m\"",
        "`hose_extra` says nothing: every hose says its own length",
    ),
    (
        SUPPLY,
        "hose = { bore = \"25 mm\", sag = \"5 cm\" }",
        "`sag` says nothing: no line ever holds air in these steps",
    ),
    (
        "section_valve = { kv = \"9 m3/h\" }",
        "section_valve = { kv = \"9 m3/h\", rangeability = 40 }",
        "`rangeability` says nothing here",
    ),
    (BOOM, "width = \"14 m\"", "the boom is 14.00 m wide and its tips cover 12.00 m of it"),
    (
        BOOM,
        "width = \"12 m\"\nfeed = \"centre\"\nfeed_end = \"inner\"",
        "`feed_end` says nothing here",
    ),
    (
        CONTROL,
        "hold = \"3 bar\"\nresponse = \"2 s\"",
        "`response` says nothing: no step lasts, so nothing moves",
    ),
    (
        "[pump]",
        "[pump]\nspeed = \"90 %\"",
        "`speed` says nothing: every step sets or moves the speed of this pump, or rests it",
    ),
    (
        CONTROL,
        "hold = \"3 bar\"\n[[step]]\ndo = \"spray\"\npump = \"80 %\"",
        "`control` says nothing here",
    ),
    (
        "[boom]",
        "[[step]]\ndo = \"spray\"\npump = \"80 %\"\nhold = \"2 bar\"\n[[step]]\nname = \"b\"\ndo = \"spray\"\n[boom]",
        "`hold` says nothing here",
    ),
    (
        "[boom]",
        "[[step]]\ndo = \"spray\"\npumps = { pump = \"80 %\" }\n[boom]",
        "\"pump\" is moved by a control: its setting here says nothing",
    ),
    (
        "[boom]",
        "[[step]]\ndo = \"spray\"\nramp = \"3 s\"\n[boom]",
        "`ramp` says nothing: a step without `for` lasts no time",
    ),
    (
        "[control]\nhold = \"3 bar\"",
        "[[step]]\ndo = \"stand\"\nclosed_tips = [\"1-01\"]",
        "`closed_tips` says nothing: no tip runs in this step",
    ),
    (
        "[control]\nhold = \"3 bar\"",
        "[travel]\nspeed = \"9 km/h\"\n[[step]]\ndo = \"stand\"",
        "[travel] says nothing: no step sprays",
    ),
    (
        "[boom]",
        "[product]\ncurrency = \"EUR\"\n[boom]",
        "`currency` says nothing: there is no price",
    ),
    (
        "[boom]",
        "[product]\nparticle = \"5 um\"\n[boom]",
        "`particle` says nothing: particles need both `particle` and `density`",
    ),
];

#[test]
fn every_key_that_says_nothing_is_named_with_what_to_do() {
    let mut wrong = String::new();
    for (old, new, said) in CASES {
        let found = one(old, new);
        if found != *said {
            wrong.push_str(&format!("{new}\n  {found}\n  {said}\n"));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert_eq!(read_noting(MACHINE, &NoFiles).unwrap().ignored, []);
}

#[test]
fn contradictions_are_refused() {
    let refused = |old: &str, new: &str| {
        let text = MACHINE.replacen(old, new, 1);
        read_noting(&text, &NoFiles).unwrap_err().remove(0).message
    };
    let flow = refused(TIPS, "size = \"04\"\nflow = \"0.8 L/min\"");
    assert_eq!(flow, "size 04 passes 1.60 L/min at 3.00 bar, and `flow` says 0.80 L/min");
    let hold = refused("[control]\nhold = \"3 bar\"", "[[step]]\ndo = \"spray\"\nhold = \"3 bar\"");
    assert_eq!(hold, "nothing is there to hold it");
}

#[test]
fn shipped_scenarios_and_their_long_forms_have_no_key_that_changes_nothing() {
    let mut wrong = Vec::new();
    for path in files("scenarios", ".toml") {
        let text = std::fs::read_to_string(&path).unwrap();
        let Noted { scenario, ignored, .. } =
            read_noting(&text, &Beside(path.parent().unwrap())).unwrap();
        wrong.extend(ignored);
        wrong.extend(read_noting(&expand(&scenario), &NoFiles).unwrap().ignored);
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Where numbers start and end in `text`, comments and names apart.
fn numbers(text: &str) -> Vec<(usize, usize)> {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(|b| b.is_ascii_digit() || *b == b'.');
    let starts = (1..bytes.len()).filter(|at| {
        let before = &text[..*at];
        let commented = before.rfind('\n').is_some_and(|line| before[line..].contains('#'));
        digit(*at) && matches!(bytes[at - 1], b'"' | b' ' | b'-') && !commented
    });
    starts.map(|at| (at, (at..).find(|end| !digit(*end)).unwrap())).collect()
}

/// What a run of `text` finds, and the lines of what it says to no effect; nothing where it cannot run.
fn outcome(text: &str, folder: &Path) -> Option<(String, Vec<usize>)> {
    let Noted { scenario, ignored, .. } = read_noting(text, &Beside(folder)).ok()?;
    let record = run(&scenario.machine, &scenario.course).ok()?;
    let found = of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
    let lines = ignored.iter().map(|note| note.place(text).0).collect();
    Some((serde_json::to_string(&found).unwrap(), lines))
}

/// Numbers that bound or describe and need not move a figure, by the key before them.
const BOUNDS: [(&str, &str); 5] = [
    ("capacity", "what a purge may leave, and what the tank may hold"),
    ("holds", "counts once something moves"),
    ("width", "bounds what tips cover"),
    ("opens_at", "a check valve that is open stays so"),
    ("window", "a pressure within stays within"),
];

#[test]
fn every_number_changes_what_is_found_or_is_noted() {
    let folder = root().join("scenarios");
    let mut silent = Vec::new();
    for name in ["larkfield-12m", "heron-36m-one-end"] {
        let text = std::fs::read_to_string(folder.join(format!("{name}.toml"))).unwrap();
        let (before, _) = outcome(&text, &folder).unwrap();
        let machine = text.find("[tank]").unwrap();
        let numbers = numbers(&text);
        assert!(numbers.len() > 30, "{}", numbers.len());
        for (start, end) in numbers.into_iter().filter(|(start, _)| *start > machine) {
            let more = text[start..end].parse::<f64>().unwrap() * 1.07;
            let changed = format!("{}{more}{}", &text[..start], &text[end..]);
            let line = 1 + text[..start].matches('\n').count();
            let told = match outcome(&changed, &folder) {
                None => true,
                Some((after, ignored)) => after != before || ignored.contains(&line),
            };
            let written = text.lines().nth(line - 1).unwrap();
            if !told && !BOUNDS.iter().any(|(key, _)| written.starts_with(key)) {
                silent.push(format!("{name}, line {line}: {written} ({})", &text[start..end]));
            }
        }
    }
    assert!(silent.is_empty(), "{}", silent.join("\n"));
}

#[test]
fn runs_checks_and_pages_say_which_keys_change_nothing() {
    let place = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(root().join("scenarios/larkfield-12m.toml")).unwrap();
    let text = text.replace("size = \"03\"", "size = \"03\"\nat = \"2 bar\"");
    let text = text.replace("[travel]", "[limits]\npurge_lost = \"1 L\"\n\n[travel]");
    let path = put_beside_data(&text, place.path());
    let path = path.to_string_lossy();
    let printed = typed(&format!("millstream run {path} --out out"), place.path());
    assert_eq!(printed.code, 0, "{}", printed.err);
    for said in [
        "`at` says nothing here",
        "this limit says nothing: no step has a",
        "these 2 keys change nothing",
    ] {
        assert!(printed.err.contains(said), "{said}: {}", printed.err);
    }
    let read = |name: &str| std::fs::read_to_string(place.path().join("out").join(name)).unwrap();
    let summary: serde_json::Value = serde_json::from_str(&read("summary.json")).unwrap();
    let line = 1 + text.lines().position(|line| line.starts_with("at =")).unwrap();
    assert_eq!(summary["ignored"][0]["line"], line);
    assert!(read("report.html").contains(&format!("Line {line} of the scenario:")));
    let printed = typed(&format!("millstream check {path}"), place.path());
    assert_eq!(printed.code, 0);
    assert!(printed.err.contains("this key changes nothing"), "{}", printed.err);
}

#[test]
fn a_setting_varied_to_no_effect_is_noted() {
    let place = tempfile::tempdir().unwrap();
    let path = root().join("scenarios/larkfield-12m.toml");
    let path = put_beside_data(&std::fs::read_to_string(path).unwrap(), place.path());
    let vary = |setting: &str| {
        let line = format!("millstream compare {} --vary \"{setting}\"", path.to_string_lossy());
        typed(&line, place.path()).out
    };
    let still = vary("tips.at=2 bar,3 bar");
    assert!(still.contains("tips.at changes nothing: every value"), "{still}");
    let moving = vary("tips.open_loss=0.05 bar,0.1 bar");
    assert!(!moving.contains("changes nothing: every value"), "{moving}");
}
