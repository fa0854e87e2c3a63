//! Readings as rows of a CSV table, turned into the tables of the TOML form.
//!
//! Columns: `state`, `kind` (gauge, catch, meter, speed), `at`, `reads`, and perhaps `time`, `accuracy`,
//! `do`, `hold`, `sections`, `pump`, `valves`. What a state is set to may be in any of its rows.

use super::super::nearest::nearest;
use super::super::value::Span;
use super::super::walk::Walk;
use std::borrow::Cow;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

const COLUMNS: [&str; 11] = [
    "state", "kind", "at", "reads", "time", "accuracy", "do", "hold", "sections", "pump", "valves",
];
const NEEDED: [&str; 4] = ["state", "kind", "at", "reads"];
const KINDS: [&str; 4] = ["gauge", "catch", "meter", "speed"];

/// A cell: its text and where it is.
type Cell = (String, Span);

/// One state under construction.
struct Rows {
    name: Cell,
    settings: Vec<(&'static str, Cell)>,
    readings: Vec<(&'static str, DeTable<'static>, Span)>,
}

/// The tables that the rows of `text` say; `None` where a fault was found.
pub(super) fn tables(text: &str, walk: &mut Walk) -> Option<DeTable<'static>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let header = match reader.headers() {
        Ok(header) => header.clone(),
        Err(error) => return broken(&error, text, walk),
    };
    let columns = columns(&header, text, walk)?;
    let mut states: Vec<Rows> = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => return broken(&error, text, walk),
        };
        let cells = cells(&record, text);
        let cell = |name: &str| {
            columns.iter().position(|column| *column == name).and_then(|i| cells.get(i)).cloned()
        };
        row(&mut states, &cell, walk);
    }
    walk.faults.is_empty().then(|| top(states))
}

fn broken<T>(error: &csv::Error, text: &str, walk: &mut Walk) -> Option<T> {
    let at = error.position().map_or(0, |at| at.byte() as usize).min(text.len());
    let help = "every row has as many commas as the header; texts with commas are in quotes";
    walk.fault(at..at + 1, "this is not a row of the table".into(), Some(help.into()));
    None
}

fn columns(header: &csv::StringRecord, text: &str, walk: &mut Walk) -> Option<Vec<&'static str>> {
    let line_end = text.find('\n').unwrap_or(text.len());
    let known = format!("Columns: {}", COLUMNS.join(", "));
    let mut found = Vec::new();
    for (name, span) in cells(header, text) {
        match COLUMNS.into_iter().find(|column| *column == name) {
            Some(column) => found.push(column),
            None => {
                let help = nearest(&name, COLUMNS.into_iter()).map_or_else(
                    || known.clone(),
                    |near| format!("did you mean `{near}`? {known}"),
                );
                walk.fault(span, format!("unknown column `{name}`"), Some(help));
            }
        }
    }
    for needed in NEEDED.into_iter().filter(|needed| !found.contains(needed)) {
        if walk.faults.is_empty() {
            let message = format!("there is no column `{needed}`");
            walk.fault(0..line_end, message, Some(known.clone()));
        }
    }
    walk.faults.is_empty().then_some(found)
}

/// The cells of `record` with their places in `text`.
fn cells(record: &csv::StringRecord, text: &str) -> Vec<Cell> {
    let mut from = record.position().map_or(0, |at| at.byte() as usize).min(text.len());
    let mut cells = Vec::new();
    for cell in record {
        let start = text[from..].find(cell).map_or(from, |at| from + at);
        // A cell with doubled quotes does not are in the text as it reads: its place is about there.
        let about = (start + cell.len()..text.len()).find(|at| text.is_char_boundary(*at));
        let end = about.unwrap_or(text.len());
        cells.push((cell.to_owned(), start..end));
        from = text[end..].find([',', '\n']).map_or(text.len(), |at| end + at + 1);
    }
    cells
}

fn row(states: &mut Vec<Rows>, cell: &dyn Fn(&str) -> Option<Cell>, walk: &mut Walk) {
    let Some(name) = cell("state") else { return };
    let i = match states.iter().position(|state| state.name.0 == name.0) {
        Some(i) => i,
        None => {
            states.push(Rows { name, settings: Vec::new(), readings: Vec::new() });
            states.len() - 1
        }
    };
    let Some(state) = states.get_mut(i) else { return };
    for key in ["do", "hold", "sections", "pump", "valves"] {
        let Some(value) = cell(key).filter(|value| !value.0.is_empty()) else { continue };
        match state.settings.iter().find(|(other, _)| *other == key) {
            Some((_, (text, _))) if *text != value.0 => {
                let message = format!("this state has `{key}` \"{text}\" already");
                walk.fault(value.1, message, Some("one value a state".into()));
            }
            Some(_) => {}
            None => state.settings.push((key, value)),
        }
    }
    let Some(kind) = cell("kind") else { return };
    let Some(word) = KINDS.into_iter().find(|word| *word == kind.0) else {
        let help = format!("possible: {}", KINDS.join(", "));
        walk.fault(kind.1, format!("\"{}\" is no kind of reading", kind.0), Some(help));
        return;
    };
    let span = kind.1.clone();
    state.readings.push((word, reading(word, cell), span));
}

/// A row as the table of its kind.
fn reading(kind: &str, cell: &dyn Fn(&str) -> Option<Cell>) -> DeTable<'static> {
    let time = cell("time").filter(|time| !time.0.is_empty());
    let value = match (kind, &time) {
        ("catch", Some(_)) => "volume",
        ("catch", None) => "flow",
        _ => "reads",
    };
    let mut table = DeTable::new();
    let place = if kind == "catch" { "tip" } else { "at" };
    for (key, cell) in [
        (place, cell("at")),
        (value, cell("reads")),
        ("time", time),
        ("accuracy", cell("accuracy")),
    ] {
        if let Some((text, span)) = cell {
            table.insert(named(key, &span), texted(text, span));
        }
    }
    table
}

fn top(states: Vec<Rows>) -> DeTable<'static> {
    let mut list = DeArray::default();
    for state in states {
        let span = state.name.1.clone();
        let mut table = DeTable::new();
        table.insert(named("name", &span), texted(state.name.0, span.clone()));
        for (key, (text, at)) in state.settings {
            let value = match key {
                "sections" => names(&text, &at),
                "valves" => openings(&text, &at),
                _ => DeValue::String(Cow::Owned(text)),
            };
            table.insert(named(key, &at), Spanned::new(at, value));
        }
        for kind in KINDS {
            let mut rows = DeArray::default();
            let of_kind = state.readings.iter().filter(|(other, ..)| *other == kind);
            of_kind.for_each(|(_, row, at)| {
                rows.push(Spanned::new(at.clone(), DeValue::Table(row.clone())));
            });
            if !rows.is_empty() {
                table.insert(named(kind, &span), Spanned::new(span.clone(), DeValue::Array(rows)));
            }
        }
        list.push(Spanned::new(span, DeValue::Table(table)));
    }
    let mut top = DeTable::new();
    top.insert(named("state", &(0..0)), Spanned::new(0..0, DeValue::Array(list)));
    top
}

/// Names parted by spaces.
fn names(text: &str, at: &Span) -> DeValue<'static> {
    let mut list = DeArray::default();
    text.split_whitespace().for_each(|name| list.push(texted(name.to_owned(), at.clone())));
    DeValue::Array(list)
}

/// Openings written `bypass=closed return-valve=10%`.
fn openings(text: &str, at: &Span) -> DeValue<'static> {
    let mut table = DeTable::new();
    for piece in text.split_whitespace() {
        let (name, opening) = piece.split_once('=').unwrap_or((piece, ""));
        table.insert(
            Spanned::new(at.clone(), Cow::Owned(name.to_owned())),
            texted(opening.to_owned(), at.clone()),
        );
    }
    DeValue::Table(table)
}

fn named(key: &'static str, at: &Span) -> Spanned<Cow<'static, str>> {
    Spanned::new(at.clone(), Cow::Borrowed(key))
}

fn texted(text: String, at: Span) -> Spanned<DeValue<'static>> {
    Spanned::new(at, DeValue::String(Cow::Owned(text)))
}
