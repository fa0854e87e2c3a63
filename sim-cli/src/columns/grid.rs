//! A table as plain text.

use super::lines::WIDTH;
use super::table::Table;
use comfy_table::{CellAlignment, ContentArrangement, LineStyle, Table as Grid, TableStyle};

/// Rules above, under the header and below; none between rows.
const RULED: TableStyle = TableStyle::new()
    .top_border(LineStyle::none().fill('\u{2500}').junction('\u{2500}'))
    .header_separator(LineStyle::none().fill('\u{2500}').junction('\u{2500}'))
    .bottom_border(LineStyle::none().fill('\u{2500}').junction('\u{2500}'));
/// No rule at all.
const BARE: TableStyle = TableStyle::new();

impl Table {
    /// The table within [`WIDTH`], its title over it.
    pub(crate) fn to_text(&self) -> String {
        self.within(WIDTH)
    }

    /// The table within `width`, its title over it.
    pub(crate) fn within(&self, width: usize) -> String {
        format!("\n{}\n{}", self.title, self.set(RULED, width))
    }

    /// The table within `width`, without title and rules.
    pub(crate) fn bare(&self, width: usize) -> String {
        self.set(BARE, width)
    }

    fn set(&self, style: TableStyle, width: usize) -> String {
        let mut grid = Grid::new();
        grid.load_style(style);
        grid.set_content_arrangement(ContentArrangement::Dynamic).set_width(width as u16);
        grid.set_header(self.heads.iter().map(|(head, _)| head));
        grid.add_rows(&self.rows);
        for (column, (_, to_the_left)) in grid.column_iter_mut().zip(&self.heads) {
            let side = if *to_the_left { CellAlignment::Left } else { CellAlignment::Right };
            column.set_cell_alignment(side);
        }
        grid.lines().map(|line| format!("{}\n", line.trim_end())).collect()
    }
}
