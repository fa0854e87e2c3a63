//! The theory manual: every file with a law is named in it, and every source that a law names.

use checks::root;
use std::collections::BTreeSet;
use std::path::Path;

/// Folders of `sim-core/src` that hold laws.
const ROOMS: [&str; 5] = ["fluids", "hydraulics", "transport", "air", "two_phase"];

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Files under `folder` that end in `ending`, by their path from `sim-core/src` or from the folder of the repository.
fn under(folder: &Path, from: &Path, ending: &str, found: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            under(&path, from, ending, found);
        } else if path.to_string_lossy().ends_with(ending) {
            found.push(path.strip_prefix(from).unwrap().to_string_lossy().replace('\\', "/"));
        }
    }
    found.sort();
}

/// Files that may hold laws: all but those that only put others together, and tests.
fn files_with_laws() -> Vec<String> {
    let source = root().join("sim-core/src");
    let mut found = Vec::new();
    for room in ROOMS {
        under(&source.join(room), &source, ".rs", &mut found);
    }
    let collects = |path: &str| {
        let text = read(&source.join(path));
        path.ends_with("/mod.rs") && !text.contains("pub const") && !text.contains("fn ")
    };
    found.retain(|path| !path.contains("/tests") && !collects(path));
    assert!(found.len() > 50, "{found:?}");
    found
}

/// The whole manual in one text.
fn manual() -> String {
    let docs = root().join("docs");
    let mut chapters = Vec::new();
    under(&docs.join("theory"), &docs, ".md", &mut chapters);
    let chapters = chapters.iter().map(|chapter| read(&docs.join(chapter)));
    read(&docs.join("theory.md")) + &chapters.collect::<String>()
}

#[test]
fn every_file_with_a_law_is_named_in_the_theory_manual() {
    let manual = manual();
    let files = files_with_laws();
    let missing: Vec<&String> =
        files.iter().filter(|path| !manual.contains(&format!("`{path}`"))).collect();
    assert!(missing.is_empty(), "docs/theory says nothing of {missing:?}");
}

#[test]
fn every_file_that_the_theory_manual_names_is_there() {
    let manual = manual();
    let named = manual.split('`').filter(|piece| piece.ends_with(".rs") && !piece.contains(' '));
    let stands =
        |path: &str| root().join("sim-core/src").join(path).exists() || root().join(path).exists();
    let gone: BTreeSet<&str> = named.filter(|path| !stands(path)).collect();
    assert!(gone.is_empty(), "docs/theory names {gone:?}");
}

/// Words of `text`, each with the character before it.
fn words(text: &str) -> Vec<(char, &str)> {
    let inside = |c: char| c.is_alphanumeric();
    let mut words = Vec::new();
    let (mut start, mut before, mut last) = (None, ' ', ' ');
    for (at, c) in text.char_indices() {
        match (inside(c), start) {
            (true, None) => (start, before) = (Some(at), last),
            (false, Some(from)) => {
                words.push((before, &text[from..at]));
                start = None;
            }
            _ => {}
        }
        last = c;
    }
    words
}

/// Years of sources in `text`, each with the names that stand ahead of it.
fn dated_names(text: &str) -> Vec<(String, Vec<String>)> {
    let words = words(text);
    let mut found = Vec::new();
    for (i, (before, word)) in words.iter().enumerate() {
        let year =
            word.parse().ok().filter(|year: &u32| word.len() == 4 && (1600..2031).contains(year));
        // Reynolds numbers of 2000, and numbers of preprints, are no years.
        let counts = i > 0 && words[i - 1].1 != "arXiv" && (*word != "2000" || *before == '(');
        if year.is_none() || !counts {
            continue;
        }
        let name = |word: &str| {
            word == "arXiv" || (word.len() > 3 && word.starts_with(char::is_uppercase))
        };
        let ahead = words[i.saturating_sub(24)..i].iter().map(|(_, word)| *word);
        found.push(((*word).to_owned(), ahead.filter(|w| name(w)).map(str::to_owned).collect()));
    }
    found
}

/// Standards named in `text`: `ISO 6358-1` counts as `ISO 6358`.
fn standards(text: &str) -> BTreeSet<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let pairs = words.windows(2).filter(|pair| ["ISO", "IEC", "(ISO", "(IEC"].contains(&pair[0]));
    let number = |word: &str| word.chars().take_while(char::is_ascii_digit).collect::<String>();
    let named =
        pairs.map(|pair| format!("{} {}", pair[0].trim_start_matches('('), number(pair[1])));
    named.filter(|name| name.ends_with(|c: char| c.is_ascii_digit())).collect()
}

/// What the docstrings of `text` say.
fn docstrings(text: &str) -> String {
    let lines = text.lines().map(str::trim_start);
    let said = lines.filter_map(|line| line.strip_prefix("///").or(line.strip_prefix("//!")));
    said.fold(String::new(), |all, line| all + line + "\n") + " "
}

#[test]
fn every_source_that_a_law_names_stands_in_the_list_of_sources() {
    let list = read(&root().join("docs/theory/sources.md"));
    let entries: Vec<&str> = list.split("\n- ").collect();
    let (mut missing, mut count) = (BTreeSet::new(), 0);
    for path in files_with_laws() {
        let said = docstrings(&read(&root().join("sim-core/src").join(&path)));
        for (year, names) in dated_names(&said) {
            count += 1;
            let fits = |entry: &&str| {
                entry.contains(&year) && names.iter().any(|name| entry.contains(name.as_str()))
            };
            if !entries.iter().any(fits) {
                missing.insert(format!("{path}: {names:?} {year}"));
            }
        }
        let unlisted = standards(&said).into_iter().filter(|name| !list.contains(name.as_str()));
        missing.extend(unlisted.map(|name| format!("{path}: {name}")));
    }
    assert!(count > 30, "{count} sources with a year were found");
    assert!(missing.is_empty(), "docs/theory/sources.md lacks\n{missing:#?}");
}

#[test]
fn a_source_without_an_entry_is_found() {
    let said = docstrings(
        "/// After R. Q. Nobody, *Some J.* 3, 14 (1988), at a Reynolds number of 2000; ISO 4711-2.\n",
    );
    assert_eq!(dated_names(&said).len(), 1);
    assert_eq!(dated_names(&said)[0].1, ["After", "Nobody", "Some"]);
    assert_eq!(standards(&said).into_iter().collect::<Vec<_>>(), ["ISO 4711"]);
}
