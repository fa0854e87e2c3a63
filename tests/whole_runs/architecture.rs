//! The page on architecture: its arrows are those of the code.

use checks::root;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Rooms by name, each with the rooms it uses.
type Arrows = BTreeMap<String, BTreeSet<String>>;

/// What the code of `text` names of its own crate: the word after each `crate::`, tests and comments left out.
fn named(text: &str) -> BTreeSet<String> {
    let code = text.split("#[cfg(test)]").next().unwrap();
    let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
    let pieces = lines.flat_map(|line| line.split("crate::").skip(1));
    let word = |piece: &str| {
        let end = piece.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(piece.len());
        piece[..end].to_owned()
    };
    pieces.map(word).filter(|word| !word.is_empty()).collect()
}

/// Adds what the files under `folder` name of their crate.
fn look_under(folder: &Path, found: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            look_under(&path, found);
        } else if path.file_name().is_some_and(|name| name != "tests.rs") {
            found.extend(named(&std::fs::read_to_string(&path).unwrap()));
        }
    }
}

/// The arrows of `sim-core` as the code has them.
fn drawn_by_code() -> Arrows {
    let mut arrows = Arrows::new();
    for entry in std::fs::read_dir(root().join("sim-core/src")).unwrap() {
        let path = entry.unwrap().path();
        if !path.is_dir() {
            continue;
        }
        let room = path.file_name().unwrap().to_string_lossy().into_owned();
        let mut used = BTreeSet::new();
        look_under(&path, &mut used);
        used.remove(&room);
        arrows.insert(room, used);
    }
    assert!(arrows.len() > 10);
    arrows
}

/// The rows of the page's table: room, and the rooms it uses, in its order.
fn rows() -> Vec<(String, BTreeSet<String>)> {
    let page = std::fs::read_to_string(root().join("docs/architecture.md")).unwrap();
    let table = page.split("<!-- arrows").nth(1).expect("the table is marked");
    let lines = table.lines().skip_while(|line| !line.starts_with("| `"));
    let row = |line: &str| {
        let cells: Vec<&str> = line.split(" | ").collect();
        let ticked = |cell: &str| {
            cell.split('`').skip(1).step_by(2).map(str::to_owned).collect::<BTreeSet<_>>()
        };
        let room = ticked(cells[0]).into_iter().next().unwrap();
        (room, ticked(cells[cells.len() - 1]))
    };
    lines.take_while(|line| line.starts_with("| `")).map(row).collect()
}

#[test]
fn arrows_of_the_page_are_those_of_the_code() {
    let page: Arrows = rows().into_iter().collect();
    let code = drawn_by_code();
    let (rooms, folders): (Vec<_>, Vec<_>) = (page.keys().collect(), code.keys().collect());
    assert_eq!(rooms, folders, "docs/architecture.md has other rooms than sim-core/src");
    for (room, used) in &code {
        let (new, gone): (Vec<_>, Vec<_>) =
            (used.difference(&page[room]).collect(), page[room].difference(used).collect());
        assert!(new.is_empty(), "{room} has come to use {new:?}: is that an arrow we want?");
        assert!(gone.is_empty(), "docs/architecture.md says that {room} uses {gone:?}");
    }
}

#[test]
fn arrows_run_one_way() {
    let mut above: BTreeSet<String> = BTreeSet::new();
    for (room, used) in rows() {
        let below: Vec<_> = used.difference(&above).collect();
        assert!(below.is_empty(), "{room} uses {below:?}, which stand no further up");
        above.insert(room);
    }
}

#[test]
fn a_path_in_code_is_an_arrow_and_one_in_a_comment_or_a_test_is_none() {
    let code = "use crate::air::density;\n/// See [`crate::units`].\nlet x = crate::two_phase::nose(j);\n#[cfg(test)]\nuse crate::scenario::read;\n";
    assert_eq!(named(code).into_iter().collect::<Vec<_>>(), ["air", "two_phase"]);
}
