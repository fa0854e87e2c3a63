//! A scenario file after its keys, types and units are checked: values in SI with their places.

use crate::units::Quantity;
use std::collections::BTreeMap;
use std::ops::Range;

/// Bytes of the file.
pub(super) type Span = Range<usize>;

/// A table whose keys are known and whose values are of the right kind.
#[derive(Clone, Debug, Default)]
pub(super) struct Checked {
    pub(super) span: Span,
    pub(super) entries: BTreeMap<&'static str, Value>,
}

/// A value and where it is; a default stands where its table does.
#[derive(Clone, Debug)]
pub(super) struct Value {
    pub(super) span: Span,
    pub(super) data: Data,
}

/// A name and where it is.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Name {
    pub(super) text: String,
    pub(super) span: Span,
}

/// A limit as written.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum LimitText {
    /// Switched off.
    Off,
    /// Bounds, and who demands them, if said.
    Within { at_most: Option<f64>, at_least: Option<f64>, source: Option<String> },
}

/// Which sections a purge opens after which.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Order {
    Together,
    OneAtATime,
    /// Groups of sections.
    Parts(Vec<Vec<Name>>),
}

/// What a value is.
#[derive(Clone, Debug)]
pub(super) enum Data {
    Number(f64),
    Count(usize),
    Flag(bool),
    Text(String),
    Of(Quantity, f64),
    Names(Vec<Name>),
    Settings(Vec<(Name, f64)>),
    /// Points with the quantity of their second coordinate.
    Points(Quantity, Vec<(f64, f64)>),
    Pair(f64, f64),
    Limit(LimitText),
    /// A concentration; none: air.
    Contents(Option<f64>),
    /// Names and the nodes they stand for.
    Entries(Vec<(Name, Name)>),
    Order(Order),
    Table(Checked),
    Tables(Vec<Checked>),
    Named(Vec<(Name, Checked)>),
    /// The table itself and the tables by name within it.
    Both(Checked, Vec<(Name, Checked)>),
}

impl Checked {
    fn data(&self, key: &str) -> Option<&Data> {
        self.entries.get(key).map(|value| &value.data)
    }

    /// Where the value of `key` stands, or the table where it is left out.
    pub(super) fn span_of(&self, key: &str) -> Span {
        self.entries.get(key).map_or_else(|| self.span.clone(), |value| value.span.clone())
    }

    /// Whether `key` has a value, given or default.
    pub(super) fn has(&self, key: &str) -> bool {
        self.entries.contains_key(key)
    }

    /// Whether the file itself gives `key` a value.
    pub(super) fn gives(&self, key: &str) -> bool {
        self.entries.get(key).is_some_and(|value| value.span != self.span)
    }

    /// A number or a quantity in SI.
    pub(super) fn number(&self, key: &str) -> Option<f64> {
        match self.data(key)? {
            Data::Number(number) | Data::Of(_, number) => Some(*number),
            _ => None,
        }
    }

    /// A value of one of several quantities.
    pub(super) fn of(&self, key: &str) -> Option<(Quantity, f64)> {
        match self.data(key)? {
            Data::Of(quantity, number) => Some((*quantity, *number)),
            _ => None,
        }
    }

    pub(super) fn count(&self, key: &str) -> Option<usize> {
        match self.data(key)? {
            Data::Count(count) => Some(*count),
            _ => None,
        }
    }

    pub(super) fn flag(&self, key: &str) -> Option<bool> {
        match self.data(key)? {
            Data::Flag(flag) => Some(*flag),
            _ => None,
        }
    }

    pub(super) fn text(&self, key: &str) -> Option<&str> {
        match self.data(key)? {
            Data::Text(text) => Some(text),
            _ => None,
        }
    }

    pub(super) fn names(&self, key: &str) -> &[Name] {
        match self.data(key) {
            Some(Data::Names(names)) => names,
            _ => &[],
        }
    }

    /// Names with an opening or a speed each.
    pub(super) fn settings(&self, key: &str) -> &[(Name, f64)] {
        match self.data(key) {
            Some(Data::Settings(settings)) => settings,
            _ => &[],
        }
    }

    pub(super) fn points(&self, key: &str) -> Option<(Quantity, &[(f64, f64)])> {
        match self.data(key)? {
            Data::Points(quantity, points) => Some((*quantity, points)),
            _ => None,
        }
    }

    pub(super) fn pair(&self, key: &str) -> Option<(f64, f64)> {
        match self.data(key)? {
            Data::Pair(low, high) => Some((*low, *high)),
            _ => None,
        }
    }

    pub(super) fn limit(&self, key: &str) -> Option<&LimitText> {
        match self.data(key)? {
            Data::Limit(limit) => Some(limit),
            _ => None,
        }
    }

    /// A concentration, or air, if given.
    pub(super) fn contents(&self, key: &str) -> Option<Option<f64>> {
        match self.data(key)? {
            Data::Contents(contents) => Some(*contents),
            _ => None,
        }
    }

    /// Names with a node each.
    pub(super) fn places(&self, key: &str) -> &[(Name, Name)] {
        match self.data(key) {
            Some(Data::Entries(entries)) => entries,
            _ => &[],
        }
    }

    pub(super) fn order(&self, key: &str) -> Option<&Order> {
        match self.data(key)? {
            Data::Order(order) => Some(order),
            _ => None,
        }
    }

    pub(super) fn table(&self, key: &str) -> Option<&Checked> {
        match self.data(key)? {
            Data::Table(table) | Data::Both(table, _) => Some(table),
            _ => None,
        }
    }

    pub(super) fn tables(&self, key: &str) -> &[Checked] {
        match self.data(key) {
            Some(Data::Tables(tables)) => tables,
            _ => &[],
        }
    }

    pub(super) fn named(&self, key: &str) -> &[(Name, Checked)] {
        match self.data(key) {
            Some(Data::Named(tables) | Data::Both(_, tables)) => tables,
            _ => &[],
        }
    }

    /// The same table with what `over` gives in place of its own.
    pub(super) fn overridden(&self, over: Option<&Checked>) -> Checked {
        let mut merged = self.clone();
        if let Some(over) = over {
            merged.span = over.span.clone();
            merged.entries.extend(over.entries.iter().map(|(key, value)| (*key, value.clone())));
        }
        merged
    }
}
