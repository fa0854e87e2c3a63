//! A table as plain text.

use super::lines::WIDTH;
use super::table::Table;
use comfy_table::{CellAlignment, ContentArrangement, LineStyle, Table as Grid, TableStyle};

/// Rules above, under the header and below; none between rows.
const STYLE: TableStyle = TableStyle::new()
    .top_border(LineStyle::none().fill('\u{2500}').junction('\u{2500}'))
    .header_separator(LineStyle::none().fill('\u{2500}').junction('\u{2500}'))
    .bottom_border(LineStyle::none().fill('\u{2500}').junction('\u{2500}'));

impl Table {
    /// The table within [`WIDTH`], its title over it.
    pub(crate) fn to_text(&self) -> String {
        let mut grid = Grid::new();
        grid.load_style(STYLE);
        grid.set_content_arrangement(ContentArrangement::Dynamic).set_width(WIDTH as u16);
        grid.set_header(self.heads.iter().map(|(head, _)| head));
        grid.add_rows(&self.rows);
        for (column, (_, to_the_left)) in grid.column_iter_mut().zip(&self.heads) {
            let side = if *to_the_left { CellAlignment::Left } else { CellAlignment::Right };
            column.set_cell_alignment(side);
        }
        let lines: Vec<String> = grid.lines().map(|line| line.trim_end().to_owned()).collect();
        format!("\n{}\n{}\n", self.title, lines.join("\n"))
    }
}
