//! The guide: its commands run as they are, and what they print is what it quotes.
//!
//! A comment ahead of a block of code says what of the output is shown: `<!-- shown: TEXT :: N | TEXT :: N -->`, each
//! time N lines from the next line on that starts with TEXT.

use crate::once;
use checks::matches_file;
use checks::played::{Deed, Desk, deeds};
use checks::root;
use std::collections::BTreeSet;

/// Opens the comment that says what a block shows.
const SHOWN: &str = "<!-- shown: ";
/// Stands for lines left out.
const LEFT_OUT: &str = "...";

/// What of an output is shown: the start of a line, and how many lines from there on.
fn parts(comment: &str) -> Vec<(&str, usize)> {
    let inside = comment.strip_prefix(SHOWN).and_then(|rest| rest.strip_suffix(" -->")).unwrap();
    let part = |part: &str| {
        let (text, count) = part.rsplit_once(" :: ").unwrap_or_else(|| panic!("{comment}"));
        (text.trim().len(), count.trim().parse().unwrap_or_else(|_| panic!("{comment}")))
    };
    inside.split(" | ").map(|one| (&one.trim()[..part(one).0], part(one).1)).collect()
}

/// The lines of `output` that `comment` asks for.
fn quoted(comment: &str, output: &str) -> Vec<String> {
    let lines: Vec<&str> = output.lines().map(str::trim_end).collect();
    let (mut at, mut shown) = (0, Vec::new());
    for (text, count) in parts(comment) {
        let starts = |line: &&str| line.trim_start().starts_with(text);
        let next = lines[at..].iter().position(starts);
        let from = at + next.unwrap_or_else(|| panic!("no line starts with {text:?} in\n{output}"));
        if from > at {
            shown.push(LEFT_OUT.to_owned());
        }
        at = (from + count).min(lines.len());
        shown.extend(lines[from..at].iter().map(|line| (*line).to_owned()));
    }
    if at < lines.len() {
        shown.push(LEFT_OUT.to_owned());
    }
    shown
}

/// What a command printed, and the names of the files that it wrote.
type Ran = (String, BTreeSet<String>);

/// `page` with every quotation as `run` gives it now, and the names of the files that its commands write. `edit` makes the edits
/// between them.
fn filled(
    page: &str,
    mut run: impl FnMut(&str) -> Ran,
    edit: impl Fn(&str),
) -> (String, BTreeSet<String>) {
    let mut lines = page.lines();
    let (mut filled, mut written) = (String::new(), BTreeSet::new());
    let mut write = |line: &str| filled.extend([line, "\n"]);
    while let Some(line) = lines.next() {
        write(line);
        if line.starts_with("<!-- edit: ") {
            let block: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
            edit(&[line].iter().chain(&block).flat_map(|line| [line, "\n"]).collect::<String>());
            block.iter().for_each(|line| write(line));
            write("```");
        }
        if !line.starts_with(SHOWN) {
            continue;
        }
        let (fence, command) = (lines.next().unwrap(), lines.next().unwrap());
        assert_eq!(fence, "```", "a block follows {line}");
        let typed_text = command.strip_prefix("$ ").unwrap_or_else(|| panic!("{command}"));
        let (printed, files) = run(typed_text);
        written.extend(files);
        write(fence);
        write(command);
        quoted(line, &printed).iter().for_each(|line| write(line));
        assert!(lines.by_ref().any(|line| line == "```"), "the block of {command} ends nowhere");
        write("```");
    }
    (filled, written)
}

/// Holds the page at `path` to what its commands give, each by itself but for those that pass an overlay on, and to the files
/// they write.
fn holds(path: &str) {
    let place = tempfile::tempdir().unwrap();
    let run = |line: &str| {
        let look = |outcome: &once::Outcome| {
            assert_eq!(outcome.printed.code, 0, "{line}: {}", outcome.printed.err);
            (outcome.printed.out.clone(), outcome.files.keys().cloned().collect())
        };
        if line.contains("overlay.toml") {
            look(&once::Outcome::of(line, place.path()))
        } else {
            once::with(line, look)
        }
    };
    holds_to(path, run, |edit| panic!("{path}: nobody makes {edit}"));
}

fn holds_to(path: &str, run: impl FnMut(&str) -> Ran, edit: impl Fn(&str)) {
    let file = root().join(path);
    let page = std::fs::read_to_string(&file).unwrap();
    let (filled, written) = filled(&page, run, edit);
    matches_file(&filled, &file).unwrap();
    let is_output = |name: &&str| {
        let kinds = [".png", ".csv", ".html", ".json"];
        !name.contains(['/', ' ']) && kinds.iter().any(|kind| name.ends_with(kind))
    };
    let missing: BTreeSet<&str> =
        filled.split('`').filter(is_output).filter(|name| !written.contains(*name)).collect();
    assert!(missing.is_empty(), "{path} speaks of {missing:?}, its commands write {written:?}");
    assert!(page.contains(SHOWN));
}

#[test]
fn three_first_hours_go_as_their_page_says() {
    let Some(desk) = Desk::new() else { return };
    let run = |line: &str| {
        let printed = desk.types(line);
        let names = desk.written().into_iter();
        let name = |path: std::path::PathBuf| path.file_name().unwrap().to_string_lossy().into();
        (printed.out, names.map(name).collect())
    };
    let edit = |block: &str| {
        for deed in deeds(block) {
            let Deed::Edits { file, from, to } = deed else { panic!("{block}") };
            desk.edits(&file, &from, &to);
        }
    };
    holds_to("docs/guide/first-hours.md", run, edit);
}

/// What a first answer about a machine of one's own costs: as many commands and edits as the page says, counted up to the first
/// run of a scenario that was not there before.
#[test]
fn a_first_answer_takes_as_many_commands_and_edits_as_its_page_says() {
    let page = std::fs::read_to_string(root().join("docs/guide/first-hours.md")).unwrap();
    let (mut commands, mut edits) = (0, 0);
    for deed in deeds(&page) {
        match deed {
            Deed::Types(line) => {
                commands += 1;
                if line.starts_with("millstream run mine.toml") {
                    break;
                }
            }
            Deed::Edits { .. } => edits += 1,
        }
    }
    let counted = format!("That is {commands} commands and {edits} edits.");
    assert!(page.contains(&counted), "{counted}");
}

#[test]
fn readme_quotes_its_scenario_and_what_its_command_prints() {
    holds("README.md");
    let read = |path: &str| std::fs::read_to_string(root().join(path)).unwrap();
    let (readme, scenario) = (read("README.md"), read("scenarios/heron-36m-prime-one-end.toml"));
    let quoted = readme.split("```toml\n").nth(1).and_then(|rest| rest.split("```").next());
    let lines: BTreeSet<&str> = scenario.lines().collect();
    let quoted: Vec<&str> = quoted.unwrap().lines().collect();
    assert!(quoted.len() == 15 && quoted.iter().all(|line| lines.contains(line)), "{quoted:?}");
}

#[test]
fn guide_of_the_engineer_quotes_what_its_commands_print() {
    holds("docs/guide/engineer.md");
}

#[test]
fn guide_of_the_instructor_quotes_what_its_commands_print() {
    holds("docs/guide/instructor.md");
}

#[test]
fn guide_of_the_technician_quotes_what_its_commands_print() {
    holds("docs/guide/technician.md");
}

#[test]
fn every_link_in_the_documents_leads_somewhere() {
    let mut broken = Vec::new();
    for page in pages() {
        let text = std::fs::read_to_string(&page).unwrap();
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let (path, place) = link.split_once('#').unwrap_or((link, ""));
            if path.starts_with("http") {
                continue;
            }
            let target =
                if path.is_empty() { page.clone() } else { page.parent().unwrap().join(path) };
            let found = target.exists()
                && (place.is_empty()
                    || places(&std::fs::read_to_string(&target).unwrap()).contains(place));
            if !found {
                broken.push(format!("{}: {link}", page.display()));
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

/// Every page of documents.
fn pages() -> Vec<std::path::PathBuf> {
    let mut pages = ["README.md", "DEVELOPERS.md", "scenarios/README.md"]
        .map(|page| root().join(page))
        .to_vec();
    let mut folders = vec![root().join("docs")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|kind| kind == "md") {
                pages.push(path);
            }
        }
    }
    pages
}

/// Names by which a link may point at the headings of `page`.
fn places(page: &str) -> BTreeSet<String> {
    let headings = page.lines().filter(|line| line.starts_with('#'));
    let name = |line: &str| {
        let text = line.trim_start_matches('#').trim().to_lowercase();
        let kept = text.chars().filter(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_'));
        kept.map(|c| if c == ' ' { '-' } else { c }).collect()
    };
    headings.map(name).collect()
}
