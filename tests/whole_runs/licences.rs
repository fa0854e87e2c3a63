//! What the program is built of, and under which licences.

use checks::{matches_file, root};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::process::Command;

/// Licences, by their SPDX names, that let a program be passed on under its own.
const PERMISSIVE: [&str; 9] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-3-Clause",
    "BSL-1.0",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

const HEAD: &str = "\
# Licences

What is in the program `millstream` besides its own code: crates for any system it is built for, each with its licence
as its authors give it (SPDX). Written by a test from `cargo metadata`; the test also fails on a licence that is not
permissive. The font in pictures is Roboto, under the licence beside it in `sim-cli/fonts`.

| crate | version | licence |
| --- | --- | --- |
";

/// What cargo says of the packages; `None` where it knows too little without a network.
fn metadata() -> Option<Value> {
    let ask = |more: &[&str]| {
        let mut cargo = Command::new(env!("CARGO"));
        cargo.args(["metadata", "--format-version", "1", "--locked"]).args(more);
        let output = cargo.current_dir(root()).output().ok()?;
        output.status.success().then(|| serde_json::from_slice(&output.stdout).ok())?
    };
    ask(&["--offline"]).or_else(|| ask(&[]))
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

/// Packages of `metadata` that are in the program: what it needs to run, and what that needs.
fn in_the_program(metadata: &Value) -> Vec<&Value> {
    let packages: BTreeMap<&str, &Value> =
        list(metadata, "packages").iter().map(|package| (text(package, "id"), package)).collect();
    let nodes: BTreeMap<&str, &Value> =
        list(&metadata["resolve"], "nodes").iter().map(|node| (text(node, "id"), node)).collect();
    let kind = |package: &Value, kind: &str| {
        list(package, "targets").iter().any(|target| list(target, "kind").iter().any(|k| k == kind))
    };
    let own = packages.values().find(|package| text(package, "name") == "sim-cli").unwrap();
    let (mut open, mut seen) = (vec![text(own, "id")], BTreeSet::new());
    while let Some(id) = open.pop() {
        // Macros run while the program is built and are not in it.
        if kind(packages[id], "proc-macro") || !seen.insert(id) {
            continue;
        }
        let normal = |dep: &&Value| list(dep, "dep_kinds").iter().any(|dep| dep["kind"].is_null());
        open.extend(list(nodes[id], "deps").iter().filter(normal).map(|dep| text(dep, "pkg")));
    }
    let mut found: Vec<&Value> = seen.into_iter().map(|id| packages[id]).collect();
    found.retain(|package| !package["source"].is_null());
    found.sort_by_key(|package| (text(package, "name"), text(package, "version")));
    found
}

/// Whether `licence`, an expression of SPDX names, can be met by permissive licences alone.
fn is_permissive(licence: &str) -> bool {
    let permissive = |name: &str| PERMISSIVE.contains(&name.trim_matches(['(', ')', ' ']));
    let one_of = |choice: &str| choice.split(" OR ").flat_map(|c| c.split('/')).any(permissive);
    licence.split(" AND ").all(one_of)
}

#[test]
fn shipped_list_of_licences_is_current_and_all_of_them_are_permissive() {
    let Some(metadata) = metadata() else {
        println!("skipped: cargo cannot list the packages without a network");
        return;
    };
    let packages = in_the_program(&metadata);
    assert!(packages.len() > 50);
    let mut page = HEAD.to_owned();
    for package in packages {
        let [name, version, licence] = ["name", "version", "license"].map(|key| text(package, key));
        assert!(is_permissive(licence), "{name}: {licence}");
        // Writing to a String cannot fail.
        let _ = writeln!(page, "| {name} | {version} | {licence} |");
    }
    matches_file(&page, &root().join("docs/licences.md")).unwrap();
}

#[test]
fn a_licence_is_permissive_if_a_choice_of_each_of_its_parts_is() {
    for yes in ["MIT", "MIT/Apache-2.0", "LGPL-2.1-or-later OR MIT", "(MIT OR GPL-3.0) AND Zlib"] {
        assert!(is_permissive(yes), "{yes}");
    }
    for no in ["", "GPL-3.0", "MIT AND GPL-3.0", "LGPL-2.1-or-later OR GPL-2.0"] {
        assert!(!is_permissive(no), "{no}");
    }
}
