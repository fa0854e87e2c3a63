//! A plain table of text.

use super::lines::WIDTH;
use comfy_table::{CellAlignment, ContentArrangement, LineStyle, Table, TableStyle};

/// Rules above, under the header and below; none between rows.
const STYLE: TableStyle = TableStyle::new()
    .top_border(LineStyle::none().fill('\u{2500}').junction('\u{2500}'))
    .header_separator(LineStyle::none().fill('\u{2500}').junction('\u{2500}'))
    .bottom_border(LineStyle::none().fill('\u{2500}').junction('\u{2500}'));

/// A table with `header` over `rows`: the first `left` columns to the left, numbers to the right.
pub(crate) fn grid(title: &str, header: &[String], rows: &[Vec<String>], left: usize) -> String {
    let mut table = Table::new();
    table.load_style(STYLE);
    table.set_content_arrangement(ContentArrangement::Dynamic).set_width(WIDTH as u16);
    table.set_header(header.to_vec());
    rows.iter().for_each(|row| {
        table.add_row(row.clone());
    });
    for column in left..header.len() {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let lines: Vec<String> = table.lines().map(|line| line.trim_end().to_owned()).collect();
    format!("\n{title}\n{}\n", lines.join("\n"))
}

/// Texts as owned cells.
pub(crate) fn cells<const N: usize>(texts: [&str; N]) -> Vec<String> {
    texts.map(str::to_owned).to_vec()
}
