//! Rows for spreadsheets.

use super::nothing::signless_nothing;
use super::table::Table;
use sim_core::scenario::for_spreadsheets;

impl Table {
    /// The table as comma-separated values, its title left out; no text in it is a formula.
    pub(super) fn to_csv(&self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        // Rows of equal length into memory: nothing here can fail.
        let heads = self.heads.iter().map(|(head, _)| for_spreadsheets(head));
        let _ = writer.write_record(heads.map(|head| head.into_owned()));
        for row in &self.rows {
            let _ = writer.write_record(row.iter().map(|cell| for_spreadsheets(cell).into_owned()));
        }
        let bytes = writer.into_inner().unwrap_or_default();
        String::from_utf8_lossy(&bytes).into_owned()
    }
}

/// Seven figures: more than any gauge, fewer than rounding noise.
pub(super) fn figures(value: f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let digits = (6 - value.abs().log10().floor() as i32).clamp(0, 12) as usize;
    let text = format!("{value:.digits$}");
    let text = signless_nothing(text);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').into() } else { text }
}
