//! Limits: what the scenario or a published standard demands.

use super::super::value::{Checked, LimitText};
use super::Build;
use crate::measures::{Limit, Limits, Measure};

impl Build<'_> {
    /// The limits of `table` over those of standards.
    pub(super) fn limits(&mut self, table: Option<&Checked>) -> Limits {
        Limits(Measure::ALL.iter().filter_map(|measure| self.limit(*measure, table)).collect())
    }

    fn limit(&mut self, measure: Measure, table: Option<&Checked>) -> Option<Limit> {
        let keys = [measure.limit_key(), measure.earlier_key()].into_iter().flatten();
        let mut said = keys.filter_map(|key| Some((key, table?.limit(key)?)));
        let (first, second) = (said.next(), said.next());
        if let (Some((key, _)), Some((earlier, _)), Some(table)) = (first, second, table) {
            let message = format!("`{earlier}` and `{key}` are the same limit");
            self.fault(table.span_of(earlier), message, Some("keep one of them".into()));
        }
        match first {
            Some((_, LimitText::Off)) => None,
            Some((_, LimitText::Within { at_most, at_least, source })) => Some(Limit {
                measure,
                at_most: *at_most,
                at_least: *at_least,
                source: source.clone().unwrap_or_else(|| "scenario".into()),
            }),
            None => measure.usual().map(|(most, source)| Limit::up_to(measure, most, source)),
        }
    }
}
