//! A scenario file after its keys, types and units are checked: values in SI with their places.

use super::spec::{TableSpec, is_declared};
use crate::units::Quantity;
use std::cell::Cell;
use std::collections::BTreeMap;
use std::ops::Range;
use std::rc::Rc;

/// Bytes of the file.
pub(super) type Span = Range<usize>;

/// A table whose keys are known and whose values are of the right kind.
#[derive(Clone, Debug, Default)]
pub(super) struct Checked {
    pub(super) span: Span,
    /// What describes it, and what describes the tables it was put together of; nothing for one that no file has.
    pub(super) specs: Vec<&'static TableSpec>,
    pub(super) entries: BTreeMap<&'static str, Value>,
}

/// A value and where it is; a default stands where its table does.
#[derive(Clone, Debug)]
pub(super) struct Value {
    pub(super) span: Span,
    pub(super) data: Data,
    /// Whether anything has asked for it; copies of a value share this.
    read: Rc<Cell<bool>>,
}

impl Value {
    pub(super) fn new(span: Span, data: Data) -> Self {
        Self { span, data, read: Rc::default() }
    }

    /// Whether nothing has asked for it.
    pub(super) fn is_unread(&self) -> bool {
        !self.read.get()
    }
}

/// Which values stand in for those at fault.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) enum Instead {
    /// Low ones, first words.
    #[default]
    Low,
    /// High ones, last words.
    High,
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
pub(super) enum SectionOrder {
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
    Counts(Vec<usize>),
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
    SectionOrder(SectionOrder),
    Table(Checked),
    Tables(Vec<Checked>),
    Named(Vec<(Name, Checked)>),
    /// The table itself and the tables by name within it.
    Both(Checked, Vec<(Name, Checked)>),
}

/// Functions that read the value of a key: `None` where it is left out.
macro_rules! values {
    ($($(#[$doc:meta])* $name:ident: $type:ty = $data:pat => $value:expr;)+) => {$(
        $(#[$doc])*
        pub(super) fn $name(&self, key: &str) -> Option<$type> {
            match &self.asked(key)?.data {
                $data => Some($value),
                _ => None,
            }
        }
    )+};
}

/// Functions that read the list of a key: empty where it is left out.
macro_rules! lists {
    ($($(#[$doc:meta])* $name:ident: [$type:ty] = $data:pat => $value:expr;)+) => {$(
        $(#[$doc])*
        pub(super) fn $name(&self, key: &str) -> &[$type] {
            match self.asked(key).map(|value| &value.data) {
                Some($data) => $value,
                _ => &[],
            }
        }
    )+};
}

impl Checked {
    values! {
        /// A number or a quantity in SI.
        number: f64 = Data::Number(number) | Data::Of(_, number) => *number;
        /// A value of one of several quantities.
        of: (Quantity, f64) = Data::Of(quantity, number) => (*quantity, *number);
        count: usize = Data::Count(count) => *count;
        flag: bool = Data::Flag(flag) => *flag;
        text: &str = Data::Text(text) => text;
        points: (Quantity, &[(f64, f64)]) = Data::Points(quantity, points) => (*quantity, points);
        pair: (f64, f64) = Data::Pair(low, high) => (*low, *high);
        limit: &LimitText = Data::Limit(limit) => limit;
        /// A concentration, or air, if given.
        contents: Option<f64> = Data::Contents(contents) => *contents;
        order: &SectionOrder = Data::SectionOrder(order) => order;
        table: &Checked = Data::Table(table) | Data::Both(table, _) => table;
    }

    lists! {
        counts: [usize] = Data::Counts(counts) => counts;
        names: [Name] = Data::Names(names) => names;
        /// Names with an opening, a speed or a time each.
        settings: [(Name, f64)] = Data::Settings(settings) => settings;
        /// Names with a node each.
        places: [(Name, Name)] = Data::Entries(entries) => entries;
        tables: [Checked] = Data::Tables(tables) => tables;
        named: [(Name, Checked)] = Data::Named(tables) | Data::Both(_, tables) => tables;
    }

    /// The value of `key`. A key that neither this table nor any of a scenario declares is a slip of the program; tables of
    /// one kind may lack what another has.
    fn value(&self, key: &str) -> Option<&Value> {
        let own = || self.specs.iter().any(|spec| spec.keys().any(|known| known.name == key));
        debug_assert!(own() || is_declared(key), "no table declares `{key}`");
        self.entries.get(key)
    }

    /// The value of `key` for one who will use it.
    fn asked(&self, key: &str) -> Option<&Value> {
        let value = self.value(key)?;
        value.read.set(true);
        Some(value)
    }

    /// The text of `key` for one who only compares it with what counts.
    pub(super) fn glance(&self, key: &str) -> Option<&str> {
        match &self.value(key)?.data {
            Data::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The name that `key` gives and where it is.
    pub(super) fn name(&self, key: &str) -> Option<Name> {
        Some(Name { text: self.text(key)?.to_owned(), span: self.span_of(key) })
    }

    /// Where the value of `key` stands, or the table where it is left out.
    pub(super) fn span_of(&self, key: &str) -> Span {
        self.value(key).map_or(&self.span, |value| &value.span).clone()
    }

    /// Whether `key` has a value, given or default.
    pub(super) fn has(&self, key: &str) -> bool {
        self.value(key).is_some()
    }

    /// Whether the file itself gives `key` a value.
    pub(super) fn gives(&self, key: &str) -> bool {
        self.value(key).is_some_and(|value| value.span != self.span)
    }

    /// Where the first key called `key` is that this table or one within it gives.
    pub(super) fn first_given(&self, key: &str) -> Option<Span> {
        let own = self.entries.get(key).filter(|value| value.span != self.span);
        let within = |value: &Value| match &value.data {
            Data::Table(table) => table.first_given(key),
            Data::Tables(tables) => tables.iter().find_map(|table| table.first_given(key)),
            Data::Named(named) => named.iter().find_map(|(_, table)| table.first_given(key)),
            Data::Both(table, named) => table
                .first_given(key)
                .or_else(|| named.iter().find_map(|(_, table)| table.first_given(key))),
            _ => None,
        };
        own.map(|value| value.span.clone()).or_else(|| self.entries.values().find_map(within))
    }

    /// The same table with what `over` gives in place of its own.
    pub(super) fn overridden(&self, over: Option<&Checked>) -> Checked {
        let mut merged = self.clone();
        if let Some(over) = over {
            merged.span = over.span.clone();
            merged.specs.extend(&over.specs);
            merged.entries.extend(over.entries.iter().map(|(key, value)| (*key, value.clone())));
        }
        merged
    }
}
