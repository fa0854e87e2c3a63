//! What lines and tanks hold as the first step starts.

use super::super::value::Checked;
use super::Build;
use crate::procedure::Start;

impl Build<'_> {
    /// What `table` says of the start, and what single lines say.
    pub(super) fn start(&mut self, table: Option<&Checked>) -> Start {
        let empty = table.and_then(|table| table.flag("empty")).unwrap_or(false);
        if let Some(table) = table.filter(|table| empty && table.gives("lines_hold")) {
            let help = "take `lines_hold` or `empty` away; single lines of the long form may say \
                        otherwise by `holds`";
            let message = "lines that start empty hold air, no concentration";
            self.fault(table.span_of("lines_hold"), message, Some(help.into()));
        }
        let number =
            |key: &str, default: f64| table.and_then(|table| table.number(key)).unwrap_or(default);
        Start {
            lines_hold: number("lines_hold", 0.0),
            empty,
            own: std::mem::take(&mut self.own),
            tanks_hold: number("tanks_hold", 1.0),
            // As "95 %" reads, to the last digit.
            full_from: number("full_from", 95.0 * 0.01),
        }
    }
}
