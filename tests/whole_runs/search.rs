//! Which layout should be built: what a search leaves, and what is said of studies that are not right.

use checks::command::{Printed, millstream};
use checks::root;
use serde_json::Value;
use std::path::Path;

fn shipped(name: &str) -> String {
    root().join(format!("demo-data/studies/{name}.toml")).to_string_lossy().into_owned()
}

/// A study of four layouts of a shipped machine, which is put into `place` with a catalogue.
const STUDY: &str = "base = \"machine.toml\"\ncatalogue = \"parts.csv\"\naims = [\"cost\", \"tip_pressure_variation\"]\n\
    [limits]\ntip_pressure_variation = \"5 %\"\n\
    [[vary]]\nname = \"tube\"\nkey = \"boom.tube\"\nof = \"tube\"\n\
    [[vary]]\nkey = \"control.hold\"\nvalues = [\"2.5 bar\", \"2.8 bar\"]\n\
    [[corner]]\nname = \"fast\"\nset = [\"travel.speed = 12 km/h\", \"limits.rate_off = 40 %\"]\n";
const PARTS: &str = "kind,name,price,per,bore\ntube,narrow,2,m,12.7 mm\ntube,wide,3.5,m,19 mm\nhose,one,3,m,19 mm\n";

fn put(study: &str, parts: &str, place: &Path) -> String {
    let machine = std::fs::read_to_string(root().join("scenarios/larkfield-12m.toml")).unwrap();
    let path = checks::put_beside_data(&machine, place);
    std::fs::rename(path, place.join("machine.toml")).unwrap();
    std::fs::write(place.join("parts.csv"), parts).unwrap();
    std::fs::write(place.join("study.toml"), study).unwrap();
    place.join("study.toml").to_string_lossy().into_owned()
}

fn searched(study: &str, parts: &str, more: &[&str]) -> Printed {
    let place = tempfile::tempdir().unwrap();
    let path = put(study, parts, place.path());
    millstream(&[&["search", &path], more].concat())
}

/// 24 tips stand 0.5 m apart in three sections of eight: each tube is seven spacings long with a capped end of 100 mm at either side,
/// 11.1 m in all; at 2 and 3.5 a metre.
#[test]
fn the_cost_is_a_bill_made_by_hand() {
    let document: Value = serde_json::from_str(&searched(STUDY, PARTS, &["--json"]).out).unwrap();
    let layouts = document["layouts"].as_array().unwrap();
    assert_eq!(document["judged"], 4);
    let metres = |layout: &Value| {
        let price = if layout["variables"]["tube"] == "narrow" { 2.0 } else { 3.5 };
        layout["aims"]["cost"].as_f64().unwrap() / price
    };
    let build = millstream(&[
        "expand",
        &root().join("scenarios/larkfield-12m.toml").to_string_lossy(),
        "--json",
    ]);
    let machine: Value = serde_json::from_str(&build.out).unwrap();
    let lines = machine["branches"].as_array().unwrap().iter();
    let number = |line: &Value, key: &str| line["part"][key].as_f64().unwrap_or(0.0);
    let of_tube = lines.filter(|line| (number(line, "bore_m") - 0.0127).abs() < 1e-6);
    let whole: f64 = of_tube.map(|line| number(line, "length_m")).sum();
    assert!((whole - 11.1).abs() < 1e-9, "{whole}");
    layouts
        .iter()
        .for_each(|layout| assert!((metres(layout) - whole).abs() < 1e-9, "{layout} {whole}"));
}

#[test]
fn a_layout_run_alone_has_the_figures_of_the_table_and_threads_change_nothing() {
    let place = tempfile::tempdir().unwrap();
    let written = |threads: usize| {
        let out = place.path().join(threads.to_string());
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let study = place.path().join("small.toml");
        let text = std::fs::read_to_string(shipped("larkfield-bores")).unwrap();
        let text = text.replace("catalogue =", "budget = 60\ncatalogue =");
        let folder = root().join("demo-data/studies");
        let text = text
            .replace("\"../../scenarios", &format!("\"{}/../../scenarios", folder.display()))
            .replace("\"parts.csv\"", &format!("\"{}/parts.csv\"", folder.display()));
        std::fs::write(&study, text).unwrap();
        let args = ["search", &study.to_string_lossy(), "--out", &out.to_string_lossy()];
        let printed = pool.install(|| millstream(&args));
        assert_eq!(printed.code, 0, "{}", printed.err);
        let names = ["search.json", "front.csv", "designs.csv", "layout-01.toml", "front.svg"];
        names.map(|name| std::fs::read_to_string(out.join(name)).unwrap())
    };
    let one = written(1);
    assert_eq!(one, written(2));
    let document: Value = serde_json::from_str(&one[0]).unwrap();
    assert_eq!(document["judged"], 60);
    for layout in document["layouts"].as_array().unwrap().iter().take(4) {
        let file = place.path().join("1").join(layout["file"].as_str().unwrap());
        let run = millstream(&["run", &file.to_string_lossy(), "--json"]);
        assert_eq!(run.code, 0, "{}", run.err);
        let run: Value = serde_json::from_str(&run.out).unwrap();
        let steps = run["steps"].as_array().unwrap().iter();
        let of =
            |step: &Value| step["findings"]["boom"]["pressure_variation_share"].as_f64().unwrap();
        let alone = steps.map(of).fold(0.0, f64::max);
        assert_eq!(layout["aims"]["tip_pressure_variation_share"], alone);
    }
}

#[test]
fn the_screen_names_layouts_what_they_lean_on_and_ends_of_the_catalogue() {
    let out = searched(STUDY, PARTS, &[]).out;
    for words in ["Judged all 4 layouts", "cheapest", "best compromise", "% left", "leans on"] {
        assert!(out.contains(words), "{words} in\n{out}");
    }
    assert!(out.lines().count() <= 40);
}

/// The same draws as of the layout's own scenario.
#[test]
fn the_chance_of_a_layout_is_that_of_its_scenario_run_alone() {
    let place = tempfile::tempdir().unwrap();
    let path = put(STUDY, PARTS, place.path());
    let out = place.path().join("out");
    let printed = millstream(&["search", &path, "--uncertain", "--out", &out.to_string_lossy()]);
    assert!(printed.out.contains("keeps limits"), "{}{}", printed.out, printed.err);
    let read = |text: &str| -> Value { serde_json::from_str(text).unwrap() };
    let document = read(&std::fs::read_to_string(out.join("search.json")).unwrap());
    let chance = &document["layouts"][0]["chance"];
    assert_eq!(chance["draws"], 64);
    let layout = out.join("layout-01.toml");
    let args = ["run", &layout.to_string_lossy(), "--uncertain", "--draws", "64", "--json"];
    let alone = read(&millstream(&args).out);
    let shares = |limits: &Value| -> Vec<Value> {
        limits.as_array().unwrap().iter().map(|limit| limit["met_share"].clone()).collect()
    };
    assert_eq!(shares(&chance["limits"]), shares(&alone["limits"]));
    let least =
        shares(&chance["limits"]).iter().map(|share| share.as_f64().unwrap()).fold(1.0, f64::min);
    assert!(chance["met_share"].as_f64().unwrap() <= least);
}

#[test]
fn where_nothing_keeps_the_limits_it_says_which_stand_in_the_way_and_by_how_much() {
    let study = STUDY.replace("\"5 %\"", "\"0.001 %\"");
    let out = searched(&study, PARTS, &[]).out;
    for words in [
        "No layout keeps every limit",
        "4 of 4 break it",
        "tip pressure variation at most",
        "% beyond",
    ] {
        assert!(out.contains(words), "{words} in\n{out}");
    }
}

/// Studies that are not right, and what is said of each.
#[test]
fn every_broken_study_gets_its_message() {
    let line = |from: &str, to: &str| STUDY.replace(from, to);
    let uncertain = |keys: &str| format!("{STUDY}[[uncertain]]\n{keys}\n");
    let cases: Vec<(String, &str)> = vec![
        (String::new(), "`base` is missing"),
        (line("base = \"machine.toml\"\n", ""), "`base` is missing"),
        (line("machine.toml", "no.toml"), "no.toml cannot be read: there is no such file"),
        (line("parts.csv", "no.csv"), "no.csv cannot be read: there is no such file"),
        (
            line("catalogue = \"parts.csv\"\n", ""),
            "`of` names a kind of part, and there is no catalogue",
        ),
        (line("aims = [\"cost\", \"tip_pressure_variation\"]\n", ""), "nothing is aimed at"),
        (line("\"cost\"", "\"costs\""), "`costs` is nothing to aim at"),
        (line("\"cost\"", "\"purge_residua\""), "Did you mean `purge_residual`?"),
        (line("\"cost\", ", "\"cost\", \"cost\", "), "`cost` is aimed at twice"),
        (line("aims =", "aim ="), "unknown key `aim`"),
        (line("base =", "budget = 0\nbase ="), "`budget` must be a whole number from 1 to 1000000"),
        (line("base =", "budget = 2.5\nbase ="), "`budget` must be a whole number"),
        (line("base =", "seed = \"one\"\nbase ="), "`seed` is a text; it takes a whole number"),
        (line("base =", "other_cost = -1\nbase ="), "`other_cost` must be at least 0"),
        (
            line("tip_pressure_variation = \"5 %\"", "tip_pressure = \"5 %\""),
            "unknown key `tip_pressure`",
        ),
        (line("\"5 %\"", "\"5 bar\""), "`bar` is a unit of pressure"),
        (line("key = \"control.hold\"\n", ""), "`key` is missing"),
        (line("control.hold", "control..hold"), "is no name of a setting"),
        (
            line("control.hold", "controls.hold"),
            "the scenario is not valid: unknown key `controls`",
        ),
        (line("control.hold", "control.holds"), "the scenario is not valid: unknown key `holds`"),
        (line("control.hold", "step.prime.pump"), "there is no step prime"),
        (line("control.hold", "step"), "the scenario is not valid"),
        (line("control.hold", "title.hold"), "title of title.hold holds no settings"),
        (
            line("\"2.8 bar\"]", "\"2.8 L\"]"),
            "with `control.hold` at \"2.8 L\" the scenario is not valid",
        ),
        (line("[\"2.5 bar\", \"2.8 bar\"]", "[\"2.5 bar\"]"), "`values` takes two or more"),
        (
            line("[\"2.5 bar\", \"2.8 bar\"]", "[\"2.5 bar\", \"2.5 bar\"]"),
            "\"2.5 bar\" is there twice",
        ),
        (line("[\"2.5 bar\", \"2.8 bar\"]", "[2.5, 2.8]"), "takes a list of names in quotes"),
        (
            line("values = [\"2.5 bar\", \"2.8 bar\"]\n", ""),
            "this does not say what the variable can be",
        ),
        (line("values =", "of = \"tube\"\nvalues ="), "both say what the variable can be"),
        (
            line("values = [\"2.5 bar\", \"2.8 bar\"]", "between = [\"2.8 bar\", \"2.5 bar\"]"),
            "the lower first",
        ),
        (
            line("values = [\"2.5 bar\", \"2.8 bar\"]", "between = [\"2 bar\", \"30 psi\"]"),
            "with the same unit",
        ),
        (
            line("values = [\"2.5 bar\", \"2.8 bar\"]", "order_of = [\"left\"]"),
            "`order_of` takes two or more",
        ),
        (line("of = \"tube\"", "of = \"tubes\""), "the catalogue has no part of kind \"tubes\""),
        (line("of = \"tube\"", "of = \"hose\""), "one part of kind \"hose\" alone"),
        (
            line("key = \"control.hold\"", "name = \"tube\"\nkey = \"control.hold\""),
            "two variables called \"tube\"",
        ),
        (line("name = \"fast\"\n", ""), "`name` is missing"),
        (line("travel.speed = 12 km/h", "travel.speed"), "\"travel.speed\" sets nothing"),
        (line("12 km/h", "12 bar"), "in corner \"fast\" the scenario is not valid"),
        (
            line("set = [\"travel.speed = 12 km/h\", \"limits.rate_off = 40 %\"]", "set = []"),
            "this corner is the scenario itself",
        ),
        (
            line("[[corner]]", "[corner]"),
            "[corner] is written once for each, in two pairs of brackets",
        ),
        (line("[limits]", "[limits"), "unclosed table, expected `]`"),
        (uncertain("within = \"5 %\""), "of no input how far it may be off"),
        (uncertain("input = \"hoses\"\nwithin = \"5 %\""), "\"hoses\" is not possible here"),
        (uncertain("input = \"hose_bores\""), "this does not say how far the input may be off"),
        (
            uncertain("input = \"hose_bores\"\nwithin = \"5 %\"\nfactor = 2"),
            "`within` and `factor` both say how far",
        ),
        (
            uncertain("input = \"hose_bores\"\nkey = \"control.hold\"\nwithin = \"5 %\""),
            "`input` and `key` both say which input",
        ),
        (uncertain("input = \"hose_bores\"\nwithin = \"95 %\""), "`within` must be at most"),
        (uncertain("input = \"hose_bores\"\nfactor = 1"), "`factor` must be greater than 1"),
        (uncertain("input = \"hose_bores\"\nbetween = [\"1 mm\", \"2 mm\"]"), "many parts at once"),
        (uncertain("key = \"control.hold\"\nbetween = [\"1 bar\"]"), "`between` takes two values"),
        (uncertain("key = \"control.hold\"\nknown = false"), "Write `known = true`"),
    ];
    assert!(cases.len() >= 40);
    let wrong: Vec<String> = cases
        .iter()
        .filter_map(|(study, words)| {
            let printed = searched(study, PARTS, &[]);
            let said = printed.err.split_whitespace().collect::<Vec<_>>().join(" ");
            let right = printed.code == 2 && printed.out.is_empty() && said.contains(words);
            (!right).then(|| {
                format!("{words}\n  not in ({}): {}{}", printed.code, printed.err, printed.out)
            })
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_broken_catalogue_gets_its_message() {
    for (from, to, words) in [
        ("kind,name", "sort,name", "there is no column `kind`"),
        ("narrow,2,", "narrow,two,", "\"two\" is no price"),
        ("narrow,2,m", "narrow,2,yard", "\"yard\" is nothing a price is per"),
        ("12.7 mm", "", "this part sets nothing"),
        ("tube,wide", "tube,narrow", "two of tube called \"narrow\""),
        ("tube,wide", "tube,", "this part has no name"),
    ] {
        let printed = searched(STUDY, &PARTS.replacen(from, to, 1), &[]);
        let said = printed.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(printed.code == 2 && said.contains(words), "{words} in {said}");
    }
}

#[test]
fn inputs_of_a_study_that_do_not_fit_the_scenario_are_named() {
    let place = tempfile::tempdir().unwrap();
    let machine = root().join("scenarios/larkfield-12m.toml").to_string_lossy().into_owned();
    for (keys, words) in [
        ("key = \"supply.hose.rating\"\nwithin = \"5 %\"", "gives `supply.hose.rating` no number"),
        ("key = \"control.hold\"\nbetween = [\"2 L\", \"3 L\"]", "the scenario is not valid"),
        ("key = \"step.prime.pump\"\nbetween = [\"40 %\", \"50 %\"]", "there is no step prime"),
    ] {
        let file = place.path().join("study.toml");
        std::fs::write(&file, format!("[[uncertain]]\n{keys}\n")).unwrap();
        let printed =
            millstream(&["run", &machine, "--uncertain", "--study", &file.to_string_lossy()]);
        let said = printed.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(printed.code == 2 && said.contains(words), "{words} in {said}");
    }
}

#[test]
fn every_key_of_the_document_is_on_the_page_of_studies() {
    let page = std::fs::read_to_string(root().join("docs/study.md")).unwrap();
    let study = STUDY.replace("\"5 %\"", "\"0.001 %\"");
    for study in [STUDY, &study] {
        let document: Value =
            serde_json::from_str(&searched(study, PARTS, &["--json", "--uncertain"]).out).unwrap();
        let mut keys: Vec<String> = document.as_object().unwrap().keys().cloned().collect();
        for list in ["layouts", "obstacles"] {
            let first = document[list][0].as_object();
            keys.extend(first.iter().flat_map(|first| first.keys().cloned()));
        }
        keys.extend(
            document["layouts"][0]["leans_on"]
                .as_object()
                .iter()
                .flat_map(|one| one.keys().cloned()),
        );
        let missing: Vec<&String> =
            keys.iter().filter(|key| !page.contains(&format!("`{key}`"))).collect();
        assert!(missing.is_empty(), "{missing:?}");
    }
}
