//! Text in lines, and tables: columns declared once give text, HTML and rows for spreadsheets.

mod accent;
mod column;
mod csv;
mod grid;
mod html;
mod lines;
mod nothing;
mod printable;
mod table;

pub(crate) use accent::accented;
pub(crate) use column::{Cell, Columns};
pub(crate) use html::{escaped, policy, policy_of};
pub(crate) use lines::{WIDTH, broken, wrapped};
pub(crate) use nothing::signless_nothing;
pub(crate) use printable::{printable, printable_lines, printable_path, shown};
pub(crate) use table::Table;
