//! A plain table of text.

use comfy_table::presets::UTF8_HORIZONTAL_ONLY;
use comfy_table::{CellAlignment, ContentArrangement, Table};

/// A table with `header` over `rows`: the first `left` columns to the left, numbers to the right.
pub(super) fn grid(title: &str, header: &[String], rows: &[Vec<String>], left: usize) -> String {
    let mut table = Table::new();
    table.load_style(UTF8_HORIZONTAL_ONLY);
    table.set_content_arrangement(ContentArrangement::Dynamic).set_width(super::WIDTH as u16);
    table.set_header(header.to_vec());
    rows.iter().for_each(|row| {
        table.add_row(row.clone());
    });
    for column in left..header.len() {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    format!("\n{title}\n{table}\n")
}

/// Texts as owned cells.
pub(super) fn cells<const N: usize>(texts: [&str; N]) -> Vec<String> {
    texts.map(str::to_owned).to_vec()
}
