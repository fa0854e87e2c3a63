//! Reading the tables of published and independently computed values in `tests/data`.

use std::collections::BTreeMap;
use std::path::Path;

/// One row of a table by column name.
pub(crate) type Row = BTreeMap<String, String>;

/// All rows of the table `name`.
pub(crate) fn columns(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name);
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

/// The text in `column`.
pub(crate) fn text<'a>(row: &'a Row, column: &str) -> &'a str {
    row.get(column).unwrap_or_else(|| panic!("no column {column}"))
}

/// The number in `column`.
pub(crate) fn number(row: &Row, column: &str) -> f64 {
    text(row, column).parse().unwrap()
}
