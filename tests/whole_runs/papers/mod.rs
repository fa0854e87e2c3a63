//! Papers: the build sheet's tables are what the scenario says, added up by other means; readings to expect are those of runs; the
//! card says what the run found.

mod build_sheet;
mod card;
mod commissioning;

const ONE_END: &str = "scenarios/heron-36m-one-end.toml";

/// Rows of a table for spreadsheets, its head first.
struct Sheet(Vec<csv::StringRecord>);

impl Sheet {
    fn of(text: &str) -> Self {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        Self(reader.records().map(Result::unwrap).collect())
    }

    fn column(&self, head: &str) -> usize {
        self.0[0].iter().position(|cell| cell == head).unwrap_or_else(|| panic!("no {head}"))
    }

    /// The cells of the rows that `takes`, in the column under `head`.
    fn cells(&self, head: &str, takes: impl Fn(&Self, &csv::StringRecord) -> bool) -> Vec<String> {
        let at = self.column(head);
        let rows = self.0[1..].iter().filter(|row| takes(self, row));
        rows.map(|row| row[at].to_owned()).collect()
    }

    fn is(&self, row: &csv::StringRecord, head: &str, cell: &str) -> bool {
        &row[self.column(head)] == cell
    }

    /// The sum of a column over the rows in which another has a cell.
    fn sum(&self, head: &str, (other, cell): (&str, &str)) -> f64 {
        let cells = self.cells(head, |sheet, row| sheet.is(row, other, cell));
        cells.iter().map(|cell| cell.parse::<f64>().unwrap()).sum()
    }

    fn all(&self, head: &str) -> f64 {
        self.cells(head, |_, _| true).iter().filter_map(|cell| cell.parse::<f64>().ok()).sum()
    }
}
