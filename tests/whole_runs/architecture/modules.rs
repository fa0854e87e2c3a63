//! The files of a crate with the names each defines, passes on and uses.

use super::tokens::{outside_tests, tokens};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Words of a path, `crate::a::b`.
pub(super) type Names = Vec<String>;

/// One file of a crate: a module.
#[derive(Debug, Default)]
pub(super) struct Module {
    /// The file below `src`, as `plots/axes.rs`.
    pub(super) file: String,
    /// What is in it.
    pub(super) items: BTreeSet<String>,
    /// What it imports or passes on, by the name that has in this file.
    pub(super) imports: BTreeMap<String, Vec<Names>>,
    /// Paths that it uses.
    pub(super) uses: Vec<Names>,
}

/// The modules of the crate at `src` by their paths; the crate's own is the empty one.
pub(super) fn modules(src: &Path) -> BTreeMap<Names, Module> {
    let mut texts = Vec::new();
    collect(src, src, &mut texts);
    of_texts(texts.iter().map(|(file, text)| (file.as_str(), text.as_str())))
}

fn collect(src: &Path, folder: &Path, texts: &mut Vec<(String, String)>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            collect(src, &path, texts);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let file = path.strip_prefix(src).unwrap().to_string_lossy().replace('\\', "/");
            texts.push((file, std::fs::read_to_string(&path).unwrap()));
        }
    }
}

/// The modules of a crate of `texts` by file; `tests.rs` and the file of a program are none.
pub(super) fn of_texts<'a>(
    texts: impl Iterator<Item = (&'a str, &'a str)>,
) -> BTreeMap<Names, Module> {
    let library = texts.filter(|(file, _)| *file != "main.rs" && !file.ends_with("tests.rs"));
    library.map(|(file, text)| (path_of(file), module(file, text))).collect()
}

fn path_of(file: &str) -> Names {
    let stem = file.trim_end_matches(".rs");
    let stem = stem.strip_suffix("/mod").unwrap_or(stem);
    if stem == "lib" { Vec::new() } else { stem.split('/').map(str::to_owned).collect() }
}

fn module(file: &str, text: &str) -> Module {
    let tokens = outside_tests(&tokens(text));
    let mut module = Module { file: file.to_owned(), ..Module::default() };
    let mut words = BTreeSet::new();
    let mut passed_on: Vec<(String, Names)> = Vec::new();
    let (mut at, mut depth) = (0, 0);
    while at < tokens.len() {
        let token = tokens[at].as_str();
        let next = tokens.get(at + 1).map_or("", String::as_str);
        match token {
            "{" => depth += 1,
            "}" => depth -= 1,
            "use" if next != "<" => {
                let end = at + tokens[at..].iter().position(|token| token == ";").unwrap();
                let public = at > 0 && ["pub", ")"].contains(&tokens[at - 1].as_str());
                for (name, path) in leaves(&tokens[at + 1..end]) {
                    module.imports.entry(name.clone()).or_default().push(path.clone());
                    // A module may pass on what its children define without using it.
                    if public && !["crate", "super"].contains(&path[0].as_str()) {
                        passed_on.push((name, path));
                    } else {
                        module.uses.push(path);
                    }
                }
                at = end;
            }
            "mod" => at += 1,
            _ if is_word(token) => {
                // In `&'static str`, nothing is defined.
                let lifetime = at > 0 && tokens[at - 1] == "'";
                if depth == 0 && is_definer(token) && !lifetime && is_word(next) {
                    module.items.insert(next.to_owned());
                }
                if depth == 0 && token == "macro_rules" {
                    module.items.insert(tokens[at + 2].clone());
                }
                let path = path(&tokens[at..]);
                at += 2 * (path.len() - 1);
                words.insert(path[0].clone());
                if path.len() > 1 {
                    module.uses.push(path);
                }
            }
            _ => {}
        }
        at += 1;
    }
    passed_on.retain(|(name, _)| words.contains(name));
    module.uses.extend(passed_on.into_iter().map(|(_, path)| path));
    module
}

fn is_word(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

fn is_definer(token: &str) -> bool {
    ["struct", "enum", "union", "trait", "fn", "const", "static", "type"].contains(&token)
}

/// The path that opens `tokens`.
fn path(tokens: &[String]) -> Names {
    let mut names = vec![tokens[0].clone()];
    let mut rest = &tokens[1..];
    while let [colons, name, others @ ..] = rest
        && colons == "::"
        && is_word(name)
    {
        names.push(name.clone());
        rest = others;
    }
    names
}

/// What a `use` of `tokens` imports: names in this file, each with its path.
fn leaves(tokens: &[String]) -> Vec<(String, Names)> {
    let mut found = Vec::new();
    tree(tokens, &mut 0, &[], &mut found);
    found
}

fn tree(tokens: &[String], at: &mut usize, above: &[String], found: &mut Vec<(String, Names)>) {
    let mut path = above.to_vec();
    let mut name = None;
    while let Some(token) = tokens.get(*at) {
        match token.as_str() {
            "{" => {
                *at += 1;
                while tokens.get(*at).is_some_and(|token| token != "}") {
                    tree(tokens, at, &path, found);
                }
                *at += 1;
                // Its branches are the leaves.
                path.clear();
            }
            "," => {
                *at += 1;
                break;
            }
            "}" => break,
            "::" => *at += 1,
            "as" => {
                name = tokens.get(*at + 1).cloned();
                *at += 2;
            }
            "self" if !path.is_empty() => *at += 1,
            _ => {
                path.push(token.clone());
                *at += 1;
            }
        }
    }
    if let Some(last) = path.last() {
        found.push((name.unwrap_or_else(|| last.clone()), path));
    }
}
