//! Which file of a crate uses what another defines, and circles among them.

use super::modules::{Module, Names};
use std::collections::{BTreeMap, BTreeSet};

/// Files, or rooms, each with those it uses.
pub(super) type Arrows = BTreeMap<String, BTreeSet<String>>;

/// Imports of imports followed: more than any real chain.
const LONGEST_CHAIN: usize = 16;

/// The arrows between the files of `modules`: a name leads to the file that defines it, through every module that only
/// passes it on.
pub(super) fn between_files(modules: &BTreeMap<Names, Module>) -> Arrows {
    let of = |(path, module): (&Names, &Module)| {
        let uses = module.uses.iter().flat_map(|names| definers(modules, path, names, 0));
        let others = uses.filter(|file| *file != module.file);
        (module.file.clone(), others.collect())
    };
    modules.iter().map(of).collect()
}

/// The files that define what `names` means in the module at `path`; none where it is a module or of another crate.
fn definers(
    modules: &BTreeMap<Names, Module>,
    path: &[String],
    names: &[String],
    chain: usize,
) -> Vec<String> {
    let rest = &names[1..];
    let mut place = path.to_vec();
    match names[0].as_str() {
        "crate" => below(modules, &[], rest, chain),
        "self" => below(modules, path, rest, chain),
        "super" => {
            place.pop();
            let ups = rest.iter().take_while(|name| *name == "super").count();
            place.truncate(place.len() - ups);
            below(modules, &place, &rest[ups..], chain)
        }
        // A name of this file, or of another crate.
        first if knows(modules, path, first) => below(modules, path, names, chain),
        _ => Vec::new(),
    }
}

fn knows(modules: &BTreeMap<Names, Module>, path: &[String], name: &str) -> bool {
    let module = &modules[path];
    module.imports.contains_key(name) || modules.contains_key(&child(path, name))
}

fn child(path: &[String], name: &str) -> Names {
    path.iter().cloned().chain([name.to_owned()]).collect()
}

/// The files that define the `names` looked for in the module at `path`.
fn below(
    modules: &BTreeMap<Names, Module>,
    path: &[String],
    names: &[String],
    chain: usize,
) -> Vec<String> {
    let Some((name, rest)) = names.split_first() else { return Vec::new() };
    assert!(chain < LONGEST_CHAIN, "imports of {name} run in a circle");
    let module = &modules[path];
    let inner = child(path, name);
    let mut found = Vec::new();
    if modules.contains_key(&inner) {
        found.extend(below(modules, &inner, rest, chain));
        if !rest.is_empty() {
            return found;
        }
    }
    if module.items.contains(name) {
        found.push(module.file.clone());
    } else if let Some(imports) = module.imports.get(name) {
        for import in imports {
            let names: Names = import.iter().chain(rest).cloned().collect();
            // An import that begins with its own name is of another crate, or of a child that was looked at.
            if names.first() != Some(name) || modules.contains_key(&inner) && import.len() > 1 {
                found.extend(definers(modules, path, &names, chain + 1));
            }
        }
    } else if !modules.contains_key(&inner) {
        // Made by a macro.
        found.push(module.file.clone());
    }
    found
}

/// The circles of `arrows`: sets of nodes, each of which leads to every other of its set.
pub(super) fn circles(arrows: &Arrows) -> Vec<BTreeSet<String>> {
    let reached: BTreeMap<&String, BTreeSet<&String>> =
        arrows.keys().map(|from| (from, reached(arrows, from))).collect();
    let mut circles: Vec<BTreeSet<String>> = Vec::new();
    for (from, to) in &reached {
        if to.contains(from) && !circles.iter().any(|circle| circle.contains(*from)) {
            let back = to.iter().filter(|other| reached[**other].contains(*from));
            circles.push(back.map(|other| (*other).clone()).collect());
        }
    }
    circles
}

fn reached<'a>(arrows: &'a Arrows, from: &str) -> BTreeSet<&'a String> {
    let mut reached = BTreeSet::new();
    let mut waiting: Vec<&String> = arrows[from].iter().collect();
    while let Some(next) = waiting.pop() {
        if reached.insert(next) {
            waiting.extend(&arrows[next]);
        }
    }
    reached
}

/// The arrows of a small crate of `files`, a name and what it says each.
#[cfg(test)]
fn of_crate(files: &[(&str, &str)]) -> Arrows {
    between_files(&super::modules::of_texts(files.iter().copied()))
}

#[test]
fn a_name_leads_to_the_file_that_defines_it() {
    let arrows = of_crate(&[
        ("lib.rs", "mod a; mod b; mod made;\npub use a::{Thing as Alias, deep};"),
        (
            "a/mod.rs",
            "pub(crate) mod deep;\nmod thing;\npub use thing::{Thing, other};\nuse std::fmt;",
        ),
        ("a/thing.rs", "pub struct Thing;\npub fn other() {}"),
        ("a/deep.rs", "use super::Thing;\npub const DEPTH: f64 = 1.0;\npub fn b() {}"),
        (
            "b.rs",
            "use crate::{Alias, deep::{self, b}};\nfn f() { deep::DEPTH; made::Handle; crate::made::Handle }",
        ),
        ("made.rs", "macro_rules! handle { ($n:ident) => {} }\nhandle!(Handle);"),
        (
            "c.rs",
            "/// See [`crate::b`].\n#[cfg(test)]\nmod tests { use crate::a::Thing; }\nfn f() -> &'static str { \"crate::made::Handle\" }",
        ),
    ]);
    let used = |file: &str| arrows[file].iter().map(String::as_str).collect::<Vec<_>>();
    // Through two modules that pass it on, under another name, and within a module that was imported.
    assert_eq!(used("b.rs"), ["a/deep.rs", "a/thing.rs", "made.rs"]);
    assert_eq!(used("a/deep.rs"), ["a/thing.rs"]);
    // What only declares and passes on uses nothing, and nothing uses it.
    assert_eq!(used("a/mod.rs"), [""; 0]);
    assert_eq!(used("lib.rs"), [""; 0]);
    assert_eq!(used("c.rs"), [""; 0]);
    assert!(circles(&arrows).is_empty());
}

#[test]
fn a_circle_of_files_is_found_and_a_passed_on_child_is_none() {
    let parent =
        |more: &str| format!("mod child; mod far;\npub use child::made;\npub struct Parent;{more}");
    let child = "use super::Parent;\npub fn made() -> Parent { Parent }";
    let far = "use super::child;\npub fn far() { child::made(); }";
    let of = |more: &str| {
        circles(&of_crate(&[
            ("lib.rs", "mod parent;"),
            ("parent.rs", &parent(more)),
            ("parent/child.rs", child),
            ("parent/far.rs", far),
        ]))
    };
    assert!(of("").is_empty());
    let names = |files: &[&str]| files.iter().map(|file| (*file).to_owned()).collect();
    // The same name, used: through the import, by its path, and from further on.
    let two: BTreeSet<String> = names(&["parent.rs", "parent/child.rs"]);
    assert_eq!(of(" fn f() { made() }"), std::slice::from_ref(&two));
    assert_eq!(of(" fn f() { child::made() }"), [two]);
    let three: BTreeSet<String> = names(&["parent.rs", "parent/child.rs", "parent/far.rs"]);
    assert_eq!(of(" fn f() { far::far() }"), [three]);
}
