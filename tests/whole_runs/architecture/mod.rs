//! The page on architecture: its arrows are those of the code; and no file uses what uses it.

mod arrows;
mod modules;
mod names;
mod tokens;

use arrows::{Arrows, between_files, circles};
use checks::root;
use modules::modules;
use std::collections::BTreeSet;

const CRATES: [&str; 2] = ["sim-core", "sim-cli"];

/// The arrows between the files of `name`.
fn of_files(name: &str) -> Arrows {
    let arrows = between_files(&modules(&root().join(name).join("src")));
    assert!(arrows.len() > 100, "{name} has {} files", arrows.len());
    arrows
}

/// The room of a file: its folder of `src`, or its name where it is in none.
fn room(file: &str) -> &str {
    file.split(['/', '.']).next().unwrap_or(file)
}

/// The arrows between the rooms of `name`, its own file aside.
fn drawn_by_code(name: &str) -> Arrows {
    let mut arrows = Arrows::new();
    for (file, used) in of_files(name).iter().filter(|(file, _)| *file != "lib.rs") {
        let others = used.iter().map(|file| room(file)).filter(|other| *other != room(file));
        arrows.entry(room(file).into()).or_default().extend(others.map(str::to_owned));
    }
    arrows
}

/// The rows of the page's table for `name`: room, and the rooms it uses, in its order.
fn rows(name: &str) -> Vec<(String, BTreeSet<String>)> {
    let page = std::fs::read_to_string(root().join("docs/architecture.md")).unwrap();
    let mark = format!("<!-- arrows of {name}");
    let table = page.split(&mark).nth(1).expect("the table is marked");
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
    for name in CRATES {
        let (page, code): (Arrows, Arrows) =
            (rows(name).into_iter().collect(), drawn_by_code(name));
        let (rooms, folders): (Vec<_>, Vec<_>) = (page.keys().collect(), code.keys().collect());
        assert_eq!(rooms, folders, "docs/architecture.md has other rooms than {name}/src");
        for (room, used) in &code {
            let (new, gone): (Vec<_>, Vec<_>) =
                (used.difference(&page[room]).collect(), page[room].difference(used).collect());
            assert!(new.is_empty(), "{room} has come to use {new:?}: is that an arrow we want?");
            assert!(gone.is_empty(), "docs/architecture.md says that {room} uses {gone:?}");
        }
    }
}

#[test]
fn arrows_run_one_way() {
    for name in CRATES {
        let mut above: BTreeSet<String> = BTreeSet::new();
        for (room, used) in rows(name) {
            let below: Vec<_> = used.difference(&above).collect();
            assert!(below.is_empty(), "{room} uses {below:?}, which stand no further up");
            above.insert(room);
        }
    }
}

#[test]
fn no_file_uses_what_uses_it() {
    for name in CRATES {
        let found = circles(&of_files(name));
        assert!(found.is_empty(), "circles of files in {name}/src: {found:#?}");
    }
}
