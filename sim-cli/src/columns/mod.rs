//! Text and tables in columns.

mod grid;
mod lines;

pub(crate) use grid::{cells, grid};
pub(crate) use lines::{WIDTH, broken, wrapped};
