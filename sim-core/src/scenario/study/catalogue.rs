//! A catalogue of parts to choose from: CSV with the columns `kind`, `name`, `price`, `per`, and one for each key that an entry sets.

use super::super::cells::{CsvCell, cells};
use super::super::fault::{InputFault, in_order};
use std::ops::Range;

/// Columns that every catalogue has.
const NEEDED: [&str; 4] = ["kind", "name", "price", "per"];
/// The column whose cells are the setting itself, not a key of it.
const ITSELF: &str = "value";

/// A part that can be bought.
#[derive(Clone, Debug, PartialEq)]
pub struct CatalogueEntry {
    /// Of what kind it is, as studies ask for it.
    pub kind: String,
    /// What it is called.
    pub name: String,
    /// Price of a piece, or of a metre, >= 0.
    pub price: f64,
    /// Whether that is of a metre.
    pub per_metre: bool,
    /// Keys below the setting and their values; an empty key is the setting itself.
    pub settings: Vec<(String, String)>,
    /// Bytes of the file that hold it.
    pub span: Range<usize>,
}

/// Reads the catalogue in `text`.
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read_catalogue(text: &str) -> Result<Vec<CatalogueEntry>, Vec<InputFault>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut heads: Option<Vec<String>> = None;
    let (mut entries, mut faults): (Vec<CatalogueEntry>, Vec<InputFault>) = Default::default();
    for record in reader.records() {
        let Ok(record) = record else {
            faults.push(InputFault::new(
                0..0,
                "this is no table",
                "write one row a part, cells with commas between",
            ));
            break;
        };
        let row = cells(&record, text);
        match &heads {
            None => heads = Some(head(&row, &mut faults)),
            Some(_) if row.iter().all(|cell| cell.0.is_empty()) => {}
            Some(heads) => match entry(heads, &row) {
                Ok(entry)
                    if entries.iter().any(|e| e.kind == entry.kind && e.name == entry.name) =>
                {
                    let message =
                        format!("there are two of {} called \"{}\"", entry.kind, entry.name);
                    faults.push(InputFault::new(
                        row[0].1.clone(),
                        message,
                        "give one of them another name",
                    ));
                }
                Ok(entry) => entries.push(entry),
                Err(fault) => faults.push(fault),
            },
        }
    }
    if heads.is_none() {
        faults.push(InputFault::new(
            0..0,
            "the file is empty",
            "a catalogue has the columns kind, name, price, per and keys",
        ));
    }
    if faults.is_empty() { Ok(entries) } else { Err(in_order(faults)) }
}

fn head(row: &[CsvCell], faults: &mut Vec<InputFault>) -> Vec<String> {
    let heads: Vec<String> = row.iter().map(|cell| cell.0.to_lowercase()).collect();
    for needed in NEEDED.iter().filter(|needed| !heads.iter().any(|head| head == *needed)) {
        let span = row.first().map_or(0..0, |cell| cell.1.clone());
        let help = "a catalogue has the columns kind, name, price, per and keys such as bore";
        faults.push(InputFault::new(span, format!("there is no column `{needed}`"), help));
    }
    heads
}

fn entry(heads: &[String], row: &[CsvCell]) -> Result<CatalogueEntry, InputFault> {
    let cell = |name: &str| heads.iter().position(|head| head == name).and_then(|at| row.get(at));
    let text = |name: &str| cell(name).map_or("", |cell| cell.0.as_str()).to_owned();
    let span = |name: &str| cell(name).or(row.first()).map_or(0..0, |cell| cell.1.clone());
    let fault =
        |name: &str, message: String, help: &str| InputFault::new(span(name), message, help);
    for name in ["kind", "name"] {
        if text(name).is_empty() {
            return Err(fault(name, format!("this part has no {name}"), "fill the cell in"));
        }
    }
    let price =
        text("price").parse::<f64>().ok().filter(|price| price.is_finite() && *price >= 0.0);
    let price = price.ok_or_else(|| {
        fault(
            "price",
            format!("\"{}\" is no price", text("price")),
            "write a number from 0 up, with a point",
        )
    })?;
    let per_metre = match text("per").as_str() {
        "m" => true,
        "each" => false,
        other => {
            return Err(fault(
                "per",
                format!("\"{other}\" is nothing a price is per"),
                "write `m` or `each`",
            ));
        }
    };
    let keys = heads.iter().zip(row).filter(|(head, cell)| {
        !NEEDED.contains(&head.as_str()) && !head.is_empty() && !cell.0.is_empty()
    });
    let settings: Vec<(String, String)> = keys
        .map(|(head, cell)| {
            (if head == ITSELF { String::new() } else { head.clone() }, cell.0.clone())
        })
        .collect();
    if settings.is_empty() {
        return Err(fault(
            "name",
            "this part sets nothing".into(),
            "fill in a column such as bore",
        ));
    }
    Ok(CatalogueEntry {
        kind: text("kind"),
        name: text("name"),
        price,
        per_metre,
        settings,
        span: span("name"),
    })
}
