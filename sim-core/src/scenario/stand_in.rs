//! Values in place of those at fault, so that the search for mistakes goes on behind them.
//!
//! A file with such values is put together twice, once with low ones and once with high ones: what is wrong whichever of
//! them stands there is a mistake of its own; what only one of them brings about is none.

use super::spec::{Bounds, Key, Kind, TableSpec};
use super::value::{Checked, Data, Instead, LimitText, Name, SectionOrder, Span};
use super::walk::{Mode, Walk};
use toml::de::DeTable;

/// Values where no bound says which.
const LOW: f64 = 1e-6;
const HIGH: f64 = 1e6;
/// Most of a count that stands in.
const MANY: u32 = 40;

impl Walk {
    /// A valid value for `key`, which is given wrongly or is missing at `span`; none for what may be left out without harm.
    pub(super) fn stand_in(&mut self, key: &'static Key, span: &Span) -> Option<Data> {
        let high = self.instead == Instead::High;
        // Who asks for something by a name that is at fault may be right.
        self.lost |= key.name == "name";
        let instead = self.instead;
        let number = |bounds: Bounds| within(bounds, instead);
        let name = || if high { "?2" } else { "?1" }.to_owned();
        let named = || Name { text: name(), span: span.clone() };
        Some(match key.kind {
            Kind::Text | Kind::File => Data::Text(name()),
            Kind::Flag => Data::Flag(high),
            Kind::Number(bounds) => Data::Number(number(bounds)),
            Kind::Count { most } => Data::Count(if high { most.min(MANY) as usize } else { 1 }),
            Kind::Quantity(quantity, bounds) => Data::Of(quantity, number(bounds)),
            Kind::AnyOf(quantities) => Data::Of(quantities[0], if high { HIGH } else { LOW }),
            Kind::Choice(words) => {
                Data::Text(words[if high { words.len() - 1 } else { 0 }].to_owned())
            }
            Kind::Losses | Kind::Opening => Data::Number(if high { 1.0 } else { 0.0 }),
            Kind::Contents => Data::Contents(high.then_some(1.0)),
            Kind::Points(_, ys) => Data::Points(ys[0], vec![(0.0, HIGH), (HIGH, 0.0)]),
            Kind::Pair(_) => Data::Pair(LOW, if high { HIGH } else { 2.0 * LOW }),
            Kind::Limit(_) => {
                let at_most = Some(if high { HIGH } else { LOW });
                Data::Limit(LimitText::Within { at_most, at_least: None, source: None })
            }
            Kind::Counts { most } => {
                Data::Counts(vec![if high { most.min(MANY) as usize } else { 1 }])
            }
            Kind::SectionOrder => Data::SectionOrder(SectionOrder::Together),
            Kind::Names if key.required => Data::Names(vec![named(), named()]),
            Kind::Entries => Data::Entries(vec![(named(), named())]),
            Kind::Table(spec) => Data::Table(self.stand_in_table(spec, span)),
            Kind::TableAndNamed(short, _) => {
                Data::Both(self.stand_in_table(short, span), Vec::new())
            }
            Kind::OneOrMore(_) | Kind::List(_) | Kind::Named(_) => {
                self.lost = true;
                return None;
            }
            Kind::Names | Kind::Openings | Kind::Each(..) | Kind::Override(_) => return None,
        })
    }

    /// A table with what must be given and what is so by default.
    pub(super) fn stand_in_table(&mut self, spec: &'static TableSpec, span: &Span) -> Checked {
        let before = self.faults.len();
        let table = self.table(&DeTable::new(), span.clone(), spec, Mode::Whole);
        self.faults.truncate(before);
        table
    }
}

/// A number within `bounds`.
fn within(bounds: Bounds, instead: Instead) -> f64 {
    match instead {
        Instead::Low => bounds.least.or(bounds.above.map(|above| above + LOW)).unwrap_or(-HIGH),
        Instead::High => bounds.most.unwrap_or(HIGH),
    }
}
