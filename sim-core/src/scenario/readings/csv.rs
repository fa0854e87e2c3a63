//! Readings as rows of a CSV table, turned into the tables of the TOML form.
//!
//! Columns: `state`, `kind` (gauge, catch, meter, speed), `at`, `reads`, and perhaps `time`, `accuracy`, `unit`,
//! `do`, `hold`, `sections`, `pump`, `valves`. What a state is set to may be in any of its rows. As spreadsheets write it:
//! commas, semicolons or tabs between cells, heads and kinds in any case, empty columns at the end, empty rows.

use super::super::cells::{CsvCell, separated};
use super::super::tree::check_letters;
use super::super::value::Span;
use super::super::walk::Walk;
use super::separator::Separator;
use crate::units::nearest;
use std::borrow::Cow;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

const COLUMNS: [&str; 12] = [
    "state", "kind", "at", "reads", "time", "accuracy", "unit", "do", "hold", "sections", "pump",
    "valves",
];
const NEEDED: usize = 4;
/// Columns that say what a state is set to.
const SETTINGS: usize = 7;
const KINDS: [&str; 4] = ["gauge", "catch", "meter", "speed"];

/// One state under construction.
struct StateDraft {
    name: CsvCell,
    /// What its settings are, as they are written.
    said: Vec<(&'static str, String)>,
    table: DeTable<'static>,
}

/// The tables that the rows of `text` say, as far as there are any; `None` where its head says no columns.
pub(super) fn tables(text: &str, walk: &mut Walk) -> Option<DeTable<'static>> {
    let separator = Separator::of(text);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .delimiter(separator.letter() as u8)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut columns: Option<Vec<Option<&'static str>>> = None;
    let (mut states, mut numbers): (Vec<StateDraft>, BTreeMap<String, usize>) = Default::default();
    for record in reader.records() {
        let cells = match &record {
            Ok(record) => separated(record, text, separator.letter()),
            Err(error) => {
                broken_row(
                    error.position().map_or(0, |at| at.byte() as usize),
                    text,
                    separator,
                    walk,
                );
                continue;
            }
        };
        // A comment that a spreadsheet has put into quotes, or a row with nothing in it.
        if cells[0].0.starts_with('#') || cells.iter().all(|cell| cell.0.is_empty()) {
            continue;
        }
        let Some(columns) = &columns else {
            columns = Some(named_columns(&cells, text, walk)?);
            continue;
        };
        let beyond = cells.get(columns.len()..).unwrap_or_default();
        let wide = columns.iter().rposition(Option::is_some).map_or(0, |last| last + 1);
        if cells.len() < wide || beyond.iter().any(|cell| !cell.0.is_empty()) {
            broken_row(cells[0].1.start, text, separator, walk);
            continue;
        }
        let cell = |name: &str| {
            let at = columns.iter().position(|column| *column == Some(name));
            let (text, span) = at.and_then(|at| cells.get(at)).cloned()?;
            let text =
                if name == "state" || name == "at" { text } else { separator.with_point(text) };
            Some((text, span))
        };
        row((&mut states, &mut numbers), &cell, walk);
    }
    let states = states.into_iter().map(|state| (state.name.1, DeValue::Table(state.table)));
    let mut top = DeTable::new();
    top.insert(named("state", &(0..0)), list(0..0, states));
    check_letters(&top, walk);
    Some(top)
}

fn broken_row(at: usize, text: &str, separator: Separator, walk: &mut Walk) {
    let at = at.min(text.len());
    let help = match separator {
        Separator::Comma => {
            "every row has as many commas as the header; texts with commas are in quotes".into()
        }
        other => format!("every row has as many {} as the header", other.words()),
    };
    walk.fault(at..at + 1, "this is not a row of the table", help);
}

/// The columns that `header` names, in any case; `None` for those without a name.
fn named_columns(
    header: &[CsvCell],
    text: &str,
    walk: &mut Walk,
) -> Option<Vec<Option<&'static str>>> {
    let known = format!("Columns: {}", COLUMNS.join(", "));
    let (mut found, before) = (Vec::new(), walk.faults.len());
    for (name, span) in header {
        let column = COLUMNS.into_iter().find(|column| column.eq_ignore_ascii_case(name));
        found.push(column);
        if column.is_none() && !name.is_empty() {
            let near = nearest(&name.to_lowercase(), COLUMNS.into_iter());
            let near = near.map_or_else(String::new, |near| format!("did you mean `{near}`? "));
            walk.fault(span.clone(), format!("unknown column `{name}`"), format!("{near}{known}"));
        }
    }
    let missing = COLUMNS[..NEEDED].iter().find(|needed| !found.contains(&Some(**needed)));
    if let Some(needed) = missing.filter(|_| walk.faults.len() == before) {
        let from = header.first().map_or(0, |cell| cell.1.start);
        let line_end = text[from..].find('\n').map_or(text.len(), |at| from + at);
        walk.fault(from..line_end, format!("there is no column `{needed}`"), known);
    }
    (walk.faults.len() == before).then_some(found)
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
        if let Some((text, span)) = cell(key).filter(|value| !value.0.is_empty()) {
            let text = if *key == "do" { text.to_lowercase() } else { text };
            state.set(key, (text, span), walk);
        }
    }
    let Some(kind) = cell("kind") else { return };
    let Some(word) = KINDS.into_iter().find(|word| word.eq_ignore_ascii_case(&kind.0)) else {
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

/// A row as the table of its kind. Where a column says units, plain numbers have that of their row, and times are in seconds.
fn reading(kind: &str, cell: &dyn Fn(&str) -> Option<CsvCell>) -> DeTable<'static> {
    let unit = cell("unit");
    let with = |(text, span): CsvCell, unit: Option<&str>| {
        let unit = unit.filter(|unit| !unit.is_empty() && text.parse::<f64>().is_ok());
        (unit.map_or_else(|| text.clone(), |unit| format!("{text} {unit}")), span)
    };
    let time = cell("time").filter(|time| !time.0.is_empty());
    let time = time.map(|time| with(time, unit.is_some().then_some("s")));
    let (place, value) = match (kind, &time) {
        ("catch", Some(_)) => ("tip", "volume"),
        ("catch", None) => ("tip", "flow"),
        _ => ("at", "reads"),
    };
    let unit = unit.as_ref().map(|unit| unit.0.as_str());
    let cells = [
        (place, cell("at")),
        (value, cell("reads").map(|reads| with(reads, unit))),
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
