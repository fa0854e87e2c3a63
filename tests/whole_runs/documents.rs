//! Documents that must say what the program does.

use crate::command::{files, millstream, root};
use checks::matches_file;
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

/// Every key of `value`, in dotted form; lists count as their items.
fn keys(value: &Value, path: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                found.insert(path.clone());
                // The sides of the machine are data, not layout.
                if key != "volumes_m3" {
                    keys(inner, &path, found);
                }
            }
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, path, found)),
        _ => {}
    }
}

#[test]
fn every_key_of_the_summary_is_documented() {
    let page = std::fs::read_to_string(root().join("docs/summary.md")).unwrap();
    let mut found = BTreeSet::new();
    for path in files("scenarios", ".toml") {
        let printed = millstream(&["run", &path.to_string_lossy(), "--json"]);
        keys(&serde_json::from_str(&printed.out).unwrap(), "", &mut found);
    }
    let missing: Vec<&String> =
        found.iter().filter(|key| !page.contains(&format!("`{key}`"))).collect();
    assert!(missing.is_empty(), "docs/summary.md says nothing of {missing:?}");
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
fn commands_of_the_readme_stand_there_and_work() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let run = "cargo run --release -- run scenarios/heron-36m-one-end.toml --out out";
    assert!(readme.contains(run) && readme.contains("./check"));
    let scenario = root().join("scenarios/heron-36m-one-end.toml");
    assert_eq!(millstream(&["run", &scenario.to_string_lossy()]).code, 0);
}

#[test]
fn every_example_in_the_help_runs() {
    for command in
        ["run", "compare", "check", "diagnose", "expand", "orders", "tips", "schema", "reference"]
    {
        let help = millstream(&[command, "--help"]);
        assert_eq!(help.code, 0);
        let example = help.out.lines().skip_while(|line| *line != "Example:").nth(1);
        let example = example.unwrap_or_else(|| panic!("{command} has no example")).trim();
        let args = words(example.split(" > ").next().unwrap());
        let place = tempfile::tempdir().unwrap();
        let args: Vec<String> = args[1..]
            .iter()
            .map(|arg| match arg.as_str() {
                "out" => place.path().join("out").to_string_lossy().into_owned(),
                _ if arg.starts_with("scenarios/") || arg.starts_with("demo-data/") => {
                    root().join(arg).to_string_lossy().into_owned()
                }
                _ => arg.clone(),
            })
            .collect();
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let printed = millstream(&args);
        assert_eq!(printed.code, 0, "{example}: {}", printed.err);
    }
}

/// Words of a command line, quotes taken off.
fn words(line: &str) -> Vec<String> {
    let quoted = line.split('"').enumerate();
    quoted
        .flat_map(|(i, piece)| match i % 2 {
            0 => piece.split_whitespace().map(str::to_owned).collect::<Vec<_>>(),
            _ => vec![piece.to_owned()],
        })
        .collect()
}
