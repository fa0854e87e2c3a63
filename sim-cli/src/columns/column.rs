//! Columns declared once, each with its head, how it shows values, and where a row has its own.

use super::csv::figures;
use super::nothing::signless_nothing;
use super::table::Table;
use sim_core::units::{Quantity, UnitSystem, display_unit, show, show_number};
use std::borrow::Borrow;

/// What a row has in a column.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Cell {
    Words(String),
    Number(f64),
    Nothing,
}

impl From<String> for Cell {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<&str> for Cell {
    fn from(words: &str) -> Self {
        Self::Words(words.to_owned())
    }
}

impl From<f64> for Cell {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl<C: Into<Self>> From<Option<C>> for Cell {
    fn from(cell: Option<C>) -> Self {
        cell.map_or(Self::Nothing, Into::into)
    }
}

/// How a column shows its numbers.
#[derive(Clone, Copy, Debug)]
enum Shown {
    /// As they are, with so many decimals.
    Plain(usize),
    /// In the user's unit of a quantity, each beside its unit.
    Each(Quantity),
    /// In the user's unit of a quantity, which is in the head.
    Under(Quantity),
}

/// A column of rows `T`.
struct Column<'a, T> {
    head: String,
    to_the_left: bool,
    shown: Shown,
    /// What stands where a row has nothing.
    missing: &'static str,
    cell: Box<dyn Fn(&T) -> Cell + 'a>,
}

/// Columns of rows `T`, from left to right.
pub(crate) struct Columns<'a, T> {
    columns: Vec<Column<'a, T>>,
}

/// What a table is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum For {
    /// People: figures as fine as they are meant.
    Readers,
    /// Spreadsheets: every unit in its head, nothing where there is nothing.
    Sheets,
}

impl<'a, T> Columns<'a, T> {
    pub(crate) fn new() -> Self {
        Self { columns: Vec::new() }
    }

    /// Words, set to the left.
    pub(crate) fn words<C: Into<Cell>>(self, head: &str, cell: impl Fn(&T) -> C + 'a) -> Self {
        self.with(head, true, Shown::Plain(0), cell)
    }

    /// Words, or numbers already in words, set to the right.
    pub(crate) fn text<C: Into<Cell>>(self, head: &str, cell: impl Fn(&T) -> C + 'a) -> Self {
        self.with(head, false, Shown::Plain(0), cell)
    }

    /// Numbers with `decimals`.
    pub(crate) fn plain<C: Into<Cell>>(
        self,
        head: &str,
        decimals: usize,
        cell: impl Fn(&T) -> C + 'a,
    ) -> Self {
        self.with(head, false, Shown::Plain(decimals), cell)
    }

    /// SI values of `quantity`, each beside its unit.
    pub(crate) fn each<C: Into<Cell>>(
        self,
        head: &str,
        quantity: Quantity,
        cell: impl Fn(&T) -> C + 'a,
    ) -> Self {
        self.with(head, false, Shown::Each(quantity), cell)
    }

    /// SI values of `quantity`, their unit in the head.
    pub(crate) fn under<C: Into<Cell>>(
        self,
        head: &str,
        quantity: Quantity,
        cell: impl Fn(&T) -> C + 'a,
    ) -> Self {
        self.with(head, false, Shown::Under(quantity), cell)
    }

    /// What the last column shows where a row has nothing; a dash unless set otherwise.
    pub(crate) fn or(mut self, missing: &'static str) -> Self {
        self.columns.last_mut().into_iter().for_each(|column| column.missing = missing);
        self
    }

    fn with<C: Into<Cell>>(
        mut self,
        head: &str,
        to_the_left: bool,
        shown: Shown,
        cell: impl Fn(&T) -> C + 'a,
    ) -> Self {
        let cell = Box::new(move |row: &T| cell(row).into());
        self.columns.push(Column { head: head.into(), to_the_left, shown, missing: "-", cell });
        self
    }

    /// The table of `rows`.
    pub(crate) fn table<R: Borrow<T>>(
        &self,
        title: impl Into<String>,
        rows: impl IntoIterator<Item = R>,
        units: UnitSystem,
    ) -> Table {
        Table { title: title.into(), ..self.set(rows, units, For::Readers) }
    }

    /// The rows for spreadsheets, as comma-separated values.
    pub(crate) fn csv<R: Borrow<T>>(
        &self,
        rows: impl IntoIterator<Item = R>,
        units: UnitSystem,
    ) -> String {
        self.set(rows, units, For::Sheets).to_csv()
    }

    fn set<R: Borrow<T>>(
        &self,
        rows: impl IntoIterator<Item = R>,
        units: UnitSystem,
        whom: For,
    ) -> Table {
        let head = |column: &Column<'a, T>| (column.headed(units, whom), column.to_the_left);
        let row = |row: R| self.columns.iter().map(|c| c.said(row.borrow(), units, whom)).collect();
        Table {
            title: String::new(),
            heads: self.columns.iter().map(head).collect(),
            rows: rows.into_iter().map(row).collect(),
        }
    }
}

impl<T> Column<'_, T> {
    fn headed(&self, units: UnitSystem, whom: For) -> String {
        match (self.shown, whom) {
            (Shown::Under(quantity), _) | (Shown::Each(quantity), For::Sheets) => {
                format!("{} {}", self.head, display_unit(quantity, units).symbol)
            }
            _ => self.head.clone(),
        }
    }

    fn said(&self, row: &T, units: UnitSystem, whom: For) -> String {
        match ((self.cell)(row), self.shown, whom) {
            (Cell::Words(words), ..) => words,
            (Cell::Nothing, _, For::Readers) => self.missing.to_owned(),
            (Cell::Number(number), Shown::Plain(decimals), For::Readers) => {
                signless_nothing(format!("{number:.decimals$}"))
            }
            (Cell::Number(si), Shown::Each(quantity), For::Readers) => show(si, quantity, units),
            (Cell::Number(si), Shown::Under(quantity), For::Readers) => {
                show_number(si, quantity, units)
            }
            (Cell::Nothing, _, For::Sheets) => String::new(),
            (Cell::Number(number), Shown::Plain(_), For::Sheets) => figures(number),
            (Cell::Number(si), Shown::Each(quantity) | Shown::Under(quantity), For::Sheets) => {
                figures(display_unit(quantity, units).from_si(si))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_declaration_serves_readers_and_spreadsheets() {
        let columns = Columns::new()
            .words("tip", |(tip, _): &(&str, Option<f64>)| *tip)
            .under("pressure", Quantity::Pressure, |(_, pa)| *pa)
            .each("loss", Quantity::Pressure, |(_, pa)| pa.map(|pa| 0.1 * pa))
            .or("none")
            .plain("of 3 bar", 1, |(_, pa)| Some((*pa)? / 3e5));
        let rows = [("1", Some(2.123_456_78e5)), ("2", None)];
        let table = columns.table("Tips", rows, UnitSystem::Si);
        let heads: Vec<&str> = table.heads.iter().map(|(head, _)| head.as_str()).collect();
        assert_eq!(heads, ["tip", "pressure bar", "loss", "of 3 bar"]);
        assert_eq!(table.rows, [["1", "2.12", "0.21 bar", "0.7"], ["2", "-", "none", "-"]]);
        let csv = "tip,pressure bar,loss bar,of 3 bar\n1,2.123457,0.2123457,0.7078189\n2,,,\n";
        assert_eq!(columns.csv(rows, UnitSystem::Si), csv);
    }
}
