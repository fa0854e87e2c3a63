//! Cells of a CSV table: their places, and text in them that no spreadsheet takes for a formula.

use std::borrow::Cow;
use std::ops::Range;

/// A cell: its text and the bytes of the file that hold it.
pub type CsvCell = (String, Range<usize>);

/// The cells of `record`, which commas separate, with their places in `text`, the whole file; the mark that
/// [`for_spreadsheets`] sets is taken off.
pub fn cells(record: &csv::StringRecord, text: &str) -> Vec<CsvCell> {
    separated(record, text, ',')
}

/// The same with another `separator`.
pub(super) fn separated(record: &csv::StringRecord, text: &str, separator: char) -> Vec<CsvCell> {
    let mut from = record.position().map_or(0, |at| at.byte() as usize).min(text.len());
    let mut cells = Vec::new();
    for cell in record {
        let start = text[from..].find(cell).map_or(from, |at| from + at);
        // A cell with doubled quotes is not in the text as it reads: its place is about there.
        let about = (start + cell.len()..text.len()).find(|at| text.is_char_boundary(*at));
        let end = about.unwrap_or(text.len());
        cells.push((as_meant(cell).to_owned(), start..end));
        from = text[end..].find([separator, '\n']).map_or(text.len(), |at| end + at + 1);
    }
    cells
}

/// Whether a spreadsheet would compute `cell`, or would if the marks of text before it were gone.
fn is_formula(cell: &str) -> bool {
    let bare = cell.trim_start_matches('\'');
    bare.starts_with(['=', '+', '-', '@', '\t', '\r']) && cell.parse::<f64>().is_err()
}

/// `cell` for a spreadsheet: text that one would take for a formula is marked as text by an apostrophe before it; numbers
/// stay as they are.
pub fn for_spreadsheets(cell: &str) -> Cow<'_, str> {
    if is_formula(cell) { Cow::Owned(format!("'{cell}")) } else { Cow::Borrowed(cell) }
}

/// What [`for_spreadsheets`] made `cell` of.
fn as_meant(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|bare| is_formula(bare)).unwrap_or(cell)
}

#[cfg(test)]
mod tests {
    use super::{as_meant, for_spreadsheets};

    #[test]
    fn no_text_is_a_formula_and_all_of_it_reads_back() {
        for (text, marked) in [
            ("=1+1", "'=1+1"),
            ("+4/2", "'+4/2"),
            ("-left", "'-left"),
            ("@sum", "'@sum"),
            ("\t=1", "'\t=1"),
            ("'=1", "''=1"),
            ("-1.5", "-1.5"),
            ("+2e3", "+2e3"),
            ("tip 1", "tip 1"),
            ("'s", "'s"),
            ("", ""),
        ] {
            assert_eq!(for_spreadsheets(text), marked);
            assert_eq!(as_meant(marked), text);
        }
    }
}
