//! Documents that must say what the program does.

use crate::once;
use checks::command::millstream;
use checks::matches_file;
use checks::root;
use checks::schema::follows;
use serde_json::Value;
use std::collections::BTreeSet;

#[test]
fn shipped_schema_is_current() {
    let printed = millstream(&["schema"]);
    matches_file(&printed.out, &root().join("docs/scenario.schema.json")).unwrap();
}

#[test]
fn shipped_reference_page_is_current() {
    let printed = millstream(&["reference"]);
    matches_file(&printed.out, &root().join("docs/scenario.md")).unwrap();
}

#[test]
fn shipped_layout_of_studies_is_current() {
    let (schema, page) = (millstream(&["schema", "study"]), millstream(&["reference", "study"]));
    matches_file(&schema.out, &root().join("docs/study.schema.json")).unwrap();
    matches_file(&page.out, &root().join("docs/study.md")).unwrap();
}

/// Every key of `value`, in dotted form; lists count as their items.
fn keys(value: &Value, path: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                found.insert(path.clone());
                keys(inner, &path, found);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, path, found)),
        _ => {}
    }
}

#[test]
fn shipped_layout_of_the_summary_is_current() {
    let (schema, page) =
        (millstream(&["schema", "summary"]), millstream(&["reference", "summary"]));
    matches_file(&schema.out, &root().join("docs/summary.schema.json")).unwrap();
    matches_file(&page.out, &root().join("docs/summary.md")).unwrap();
}

#[test]
fn summaries_follow_their_schema_and_hold_no_key_that_is_not_described() {
    let schema = std::fs::read_to_string(root().join("docs/summary.schema.json")).unwrap();
    let schema: Value = serde_json::from_str(&schema).unwrap();
    let follows = |value: &Value| follows(value, &schema, &schema["$defs"]);
    let mut count = 0;
    once::each_shipped(|path, outcome| {
        let mut summary = outcome.summary();
        assert!(follows(&summary), "{}", path.display());
        summary["steps"][0]["findings"]["tips"][0]["pressure_pa"] = "3 bar".into();
        assert!(!follows(&summary));
        count += 1;
    });
    assert!(count > 10);
}

#[test]
fn every_key_of_a_comparison_is_documented() {
    let page = std::fs::read_to_string(root().join("docs/report.md")).unwrap();
    let (a, b) = ("scenarios/larkfield-12m.toml", "scenarios/quill-loop.toml");
    let [a, b] = [a, b].map(|name| root().join(name).to_string_lossy().into_owned());
    let vary = ["compare", &a, "--vary", "tips.size=03,04", "--json"];
    for args in [&["compare", &a, &b, "--json"][..], &vary] {
        let mut found = BTreeSet::new();
        keys(&serde_json::from_str(&millstream(args).out).unwrap(), "", &mut found);
        let last = |key: &String| key.rsplit('.').next().unwrap_or(key).to_owned();
        let missing: Vec<&String> =
            found.iter().filter(|key| !page.contains(&format!("`{}`", last(key)))).collect();
        assert!(missing.is_empty(), "docs/report.md says nothing of {missing:?}");
    }
}

#[test]
fn whole_scenarios_in_the_documents_run() {
    let mut count = 0;
    for page in ["docs/scenario.md"] {
        let text = std::fs::read_to_string(root().join(page)).unwrap();
        for block in text.split("```toml\n").skip(1) {
            let place = tempfile::tempdir().unwrap();
            let file = place.path().join("scenario.toml");
            std::fs::write(&file, block.split("```").next().unwrap()).unwrap();
            let printed = millstream(&["run", &file.to_string_lossy()]);
            assert_eq!(printed.code, 0, "{page}: {}", printed.err);
            count += 1;
        }
    }
    assert_eq!(count, 2);
}

#[test]
fn commands_of_the_readme_stand_there_and_work() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let run = "cargo run --release -- run scenarios/heron-36m-one-end.toml --out out";
    assert!(readme.contains(run) && readme.contains("./check"));
    let scenario = root().join("scenarios/heron-36m-one-end.toml");
    assert_eq!(millstream(&["run", &scenario.to_string_lossy()]).code, 0);
}

/// Names of the commands, as the help lists them.
fn commands() -> Vec<String> {
    let help = millstream(&["--help"]);
    let listed = help.out.lines().skip_while(|line| *line != "Commands:").skip(1);
    let listed = listed.take_while(|line| !line.is_empty());
    // A name stands two columns in, what goes on of its explanation further in.
    let named = listed.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names = named.filter_map(|line| line.split_whitespace().next());
    names.filter(|name| *name != "help").map(str::to_owned).collect()
}

#[test]
fn every_example_in_the_help_runs() {
    let commands = commands();
    assert!(commands.len() >= 9, "{commands:?}");
    for command in commands {
        let help = millstream(&[&command, "--help"]);
        assert_eq!(help.code, 0);
        let examples: Vec<&str> = help
            .out
            .lines()
            .map(str::trim)
            .filter(|line| line.starts_with("millstream "))
            .collect();
        assert!(!examples.is_empty(), "{command} has no example");
        for example in examples {
            assert_eq!(example.split(' ').nth(1), Some(command.as_str()), "{example}");
            if command == "live" && cfg!(not(feature = "live")) {
                let shipped = format!("{}/scenarios/", root().display());
                let example = example.replace("scenarios/", &shipped);
                let printed = millstream(&example.split(' ').skip(1).collect::<Vec<_>>());
                assert_eq!((printed.code, printed.err.lines().count()), (2, 1), "{}", printed.err);
                assert!(printed.err.contains("--features live"), "{}", printed.err);
                continue;
            }
            once::with(example, |outcome| {
                assert_eq!(outcome.printed.code, 0, "{example}: {}", outcome.printed.err);
            });
        }
    }
}
