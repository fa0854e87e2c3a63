//! Readings as rows of a CSV table, turned into the tables of the TOML form.
//!
//! Columns: `state`, `kind` (gauge, catch, meter, speed), `at`, `reads`, and perhaps `time`, `accuracy`,
//! `do`, `hold`, `sections`, `pump`, `valves`. What a state is set to may be in any of its rows.

use super::super::cells::{CsvCell, cells};
use super::super::tree::check_letters;
use super::super::value::Span;
use super::super::walk::Walk;
use crate::units::nearest;
use std::borrow::Cow;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

const COLUMNS: [&str; 11] = [
    "state", "kind", "at", "reads", "time", "accuracy", "do", "hold", "sections", "pump", "valves",
];
const NEEDED: usize = 4;
/// Columns that say what a state is set to.
const SETTINGS: usize = 6;
const KINDS: [&str; 4] = ["gauge", "catch", "meter", "speed"];

/// One state under construction.
struct StateDraft {
    name: CsvCell,
    /// What its settings are, as they are written.
    said: Vec<(&'static str, String)>,
    table: DeTable<'static>,
}

/// The tables that the rows of `text` say; `None` where a fault was found.
pub(super) fn tables(text: &str, walk: &mut Walk) -> Option<DeTable<'static>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let broken = |error: csv::Error, walk: &mut Walk| {
        let at = error.position().map_or(0, |at| at.byte() as usize).min(text.len());
        let help = "every row has as many commas as the header; texts with commas are in quotes";
        walk.refuse(at..at + 1, "this is not a row of the table", help)
    };
    let header = match reader.headers() {
        Ok(header) => header.clone(),
        Err(error) => return broken(error, walk),
    };
    let columns = columns(&header, text, walk)?;
    let (mut states, mut numbers): (Vec<StateDraft>, BTreeMap<String, usize>) = Default::default();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => return broken(error, walk),
        };
        let cells = cells(&record, text);
        let cell = |name: &str| {
            columns.iter().position(|column| *column == name).and_then(|i| cells.get(i)).cloned()
        };
        row((&mut states, &mut numbers), &cell, walk);
    }
    let states = states.into_iter().map(|state| (state.name.1, DeValue::Table(state.table)));
    let mut top = DeTable::new();
    top.insert(named("state", &(0..0)), list(0..0, states));
    check_letters(&top, walk);
    walk.faults.is_empty().then_some(top)
}

fn columns(header: &csv::StringRecord, text: &str, walk: &mut Walk) -> Option<Vec<&'static str>> {
    let line_end = text.find('\n').unwrap_or(text.len());
    let known = format!("Columns: {}", COLUMNS.join(", "));
    let mut found = Vec::new();
    for (name, span) in cells(header, text) {
        match COLUMNS.into_iter().find(|column| *column == name) {
            Some(column) => found.push(column),
            None => {
                let near = nearest(&name, COLUMNS.into_iter());
                let near = near.map_or_else(String::new, |near| format!("did you mean `{near}`? "));
                walk.fault(span, format!("unknown column `{name}`"), format!("{near}{known}"));
            }
        }
    }
    let missing = COLUMNS[..NEEDED].iter().find(|needed| !found.contains(needed));
    if let Some(needed) = missing.filter(|_| walk.faults.is_empty()) {
        walk.fault(0..line_end, format!("there is no column `{needed}`"), known);
    }
    walk.faults.is_empty().then_some(found)
}

/// Reads a row into `states`, whose numbers by name are beside them.
fn row(
    (states, numbers): (&mut Vec<StateDraft>, &mut BTreeMap<String, usize>),
    cell: &dyn Fn(&str) -> Option<CsvCell>,
    walk: &mut Walk,
) {
    let Some(name) = cell("state") else { return };
    let i = *numbers.entry(name.0.clone()).or_insert_with(|| {
        let own = (named("name", &name.1), texted(name.0.clone(), name.1.clone()));
        states.push(StateDraft { name, said: Vec::new(), table: DeTable::from_iter([own]) });
        states.len() - 1
    });
    let state = &mut states[i];
    for key in &COLUMNS[SETTINGS..] {
        if let Some(value) = cell(key).filter(|value| !value.0.is_empty()) {
            state.set(key, value, walk);
        }
    }
    let Some(kind) = cell("kind") else { return };
    let Some(word) = KINDS.into_iter().find(|word| *word == kind.0) else {
        let help = format!("possible: {}", KINDS.join(", "));
        walk.fault(kind.1, format!("\"{}\" is no kind of reading", kind.0), help);
        return;
    };
    let rows = state.table.entry(named(word, &state.name.1));
    let rows = rows.or_insert_with(|| list(state.name.1.clone(), std::iter::empty()));
    if let DeValue::Array(rows) = rows.get_mut() {
        rows.push(Spanned::new(kind.1, DeValue::Table(reading(word, cell))));
    }
}

impl StateDraft {
    /// Sets `key` to `value`, unless another row has set it.
    fn set(&mut self, key: &'static str, (text, at): CsvCell, walk: &mut Walk) {
        match self.said.iter().find(|(other, _)| *other == key) {
            Some((_, said)) if *said != text => {
                let message = format!("this state has `{key}` \"{said}\" already");
                walk.fault(at, message, "one value a state");
            }
            Some(_) => {}
            None => {
                let pieces = text.split_whitespace();
                let value = match key {
                    "sections" => list(at.clone(), pieces.map(|name| (at.clone(), string(name)))),
                    "valves" => Spanned::new(at.clone(), openings(pieces, &at)),
                    _ => texted(text.clone(), at.clone()),
                };
                self.table.insert(named(key, &at), value);
                self.said.push((key, text));
            }
        }
    }
}

/// A row as the table of its kind.
fn reading(kind: &str, cell: &dyn Fn(&str) -> Option<CsvCell>) -> DeTable<'static> {
    let time = cell("time").filter(|time| !time.0.is_empty());
    let (place, value) = match (kind, &time) {
        ("catch", Some(_)) => ("tip", "volume"),
        ("catch", None) => ("tip", "flow"),
        _ => ("at", "reads"),
    };
    let cells = [
        (place, cell("at")),
        (value, cell("reads")),
        ("time", time),
        ("accuracy", cell("accuracy")),
    ];
    let given = cells.into_iter().filter_map(|(key, cell)| Some((key, cell?)));
    given.map(|(key, (text, span))| (named(key, &span), texted(text, span))).collect()
}

/// Openings written `bypass=closed return-valve=10%`.
fn openings<'t>(pieces: impl Iterator<Item = &'t str>, at: &Span) -> DeValue<'static> {
    let pieces = pieces.map(|piece| piece.split_once('=').unwrap_or((piece, "")));
    let own = |name: &str| Spanned::new(at.clone(), Cow::Owned(name.to_owned()));
    DeValue::Table(
        pieces.map(|(name, to)| (own(name), texted(to.to_owned(), at.clone()))).collect(),
    )
}

fn named(key: &'static str, at: &Span) -> Spanned<Cow<'static, str>> {
    Spanned::new(at.clone(), Cow::Borrowed(key))
}

fn string(text: &str) -> DeValue<'static> {
    DeValue::String(Cow::Owned(text.to_owned()))
}

fn texted(text: String, at: Span) -> Spanned<DeValue<'static>> {
    Spanned::new(at, DeValue::String(Cow::Owned(text)))
}

fn list(
    at: Span,
    items: impl Iterator<Item = (Span, DeValue<'static>)>,
) -> Spanned<DeValue<'static>> {
    let mut list = DeArray::default();
    items.for_each(|(at, item)| list.push(Spanned::new(at, item)));
    Spanned::new(at, DeValue::Array(list))
}
