//! Walks the file's tables beside their description and collects every fault.

use super::examples::{default_data, example};
use super::fault::Fault;
use super::nearest::nearest;
use super::spec::{Bounds, Key, Kind, TableSpec};
use super::value::{Checked, Data, Name, Span, Value};
use crate::units::{Quantity, show_bound};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Collects faults while tables are read.
#[derive(Debug, Default)]
pub(super) struct Walk {
    pub(super) faults: Vec<Fault>,
}

/// How strictly a table is read.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Mode {
    /// Required keys must be there, defaults are filled in.
    Whole,
    /// Only what is there counts.
    Override,
}

impl Walk {
    pub(super) fn fault(&mut self, span: Span, message: String, help: Option<String>) {
        self.faults.push(Fault { span, message, help });
    }

    /// Reads `table`, described by `spec`.
    pub(super) fn table(
        &mut self,
        table: &DeTable<'_>,
        span: Span,
        spec: &'static TableSpec,
        mode: Mode,
    ) -> Checked {
        let mut checked = Checked { span: span.clone(), ..Checked::default() };
        for (key, value) in table {
            let Some(found) = spec.key(key.get_ref()) else {
                self.unknown_key(key, spec);
                continue;
            };
            if let Some(data) = self.value(found, value) {
                checked.entries.insert(found.name, Value { span: value.span(), data });
            }
        }
        if mode == Mode::Whole {
            for key in spec.keys {
                let absent = !table.iter().any(|(name, _)| name.get_ref() == key.name);
                if absent {
                    self.absent(key, &span, &mut checked);
                }
            }
        }
        checked
    }

    fn unknown_key(&mut self, key: &Spanned<std::borrow::Cow<'_, str>>, spec: &TableSpec) {
        let names: Vec<&str> = spec.keys.iter().map(|key| key.name).collect();
        let known = format!("known keys: {}", names.join(", "));
        let help = match nearest(key.get_ref(), names.iter().copied()) {
            Some(near) => {
                format!("did you mean `{near}`? {}{}", known[..1].to_uppercase(), &known[1..])
            }
            None => known,
        };
        self.fault(key.span(), format!("unknown key `{}`", key.get_ref()), Some(help));
    }

    fn absent(&mut self, key: &'static Key, span: &Span, checked: &mut Checked) {
        if key.required {
            let help = format!("add `{}`: {}", example(key), lower_first(key.doc));
            self.fault(span.clone(), format!("`{}` is missing", key.name), Some(help));
        } else if let Some(data) = key.default.and_then(|text| default_data(key, text)) {
            checked.entries.insert(key.name, Value { span: span.clone(), data });
        }
    }

    fn value(&mut self, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<Data> {
        let span = value.span();
        let inner = value.get_ref();
        match key.kind {
            Kind::Text | Kind::File => self.text(key, value).map(Data::Text),
            Kind::Flag => match inner.as_bool() {
                Some(flag) => Some(Data::Flag(flag)),
                None => self.wrong_kind(key, value, "true or false"),
            },
            Kind::Number(bounds) => {
                let number = self.number(key, value)?;
                self.within(key, span, number, bounds, None).map(Data::Number)
            }
            Kind::Count { most } => self.count(key, value, most),
            Kind::Quantity(quantity, bounds) => {
                let number = self.quantity(value, quantity)?;
                self.within(key, span, number, bounds, Some(quantity))
                    .map(|number| Data::Of(quantity, number))
            }
            Kind::AnyOf(quantities) => {
                self.any_of(value, quantities).map(|(quantity, number)| Data::Of(quantity, number))
            }
            Kind::Choice(words) => {
                let text = self.text(key, value)?;
                self.choice(span, text, words).map(Data::Text)
            }
            Kind::Names => self.names(key, value).map(Data::Names),
            Kind::Losses => self.losses(key, value).map(Data::Number),
            Kind::Opening => self.opening(value).map(Data::Number),
            Kind::Openings => self.settings(key, value, Self::opening),
            Kind::Speeds => self.settings(key, value, |walk, value| {
                let speed = walk.quantity(value, Quantity::Share)?;
                let bounds = Bounds { above: None, least: Some(0.0), most: Some(10.0) };
                walk.within(key, value.span(), speed, bounds, Some(Quantity::Share))
            }),
            Kind::Durations => self.settings(key, value, |walk, value| {
                let time = walk.quantity(value, Quantity::Duration)?;
                let bounds = Bounds { above: None, least: Some(0.0), most: Some(1e5) };
                walk.within(key, value.span(), time, bounds, Some(Quantity::Duration))
            }),
            Kind::Contents => self.contents(value).map(Data::Contents),
            Kind::Entries => self.entries(key, value).map(Data::Entries),
            Kind::Order => self.order(key, value).map(Data::Order),
            Kind::Points(x, ys) => self.points(key, value, x, ys),
            Kind::Pair(quantity) => self.pair(key, value, quantity),
            Kind::Limit(measure) => self.limit(value, measure).map(Data::Limit),
            Kind::Table(spec) => {
                let table = self.as_table(key, value)?;
                Some(Data::Table(self.table(table, span, spec, Mode::Whole)))
            }
            Kind::Override(spec) => {
                let table = self.as_table(key, value)?;
                Some(Data::Table(self.table(table, span, spec, Mode::Override)))
            }
            Kind::OneOrMore(spec) if inner.is_table() => {
                let table = self.as_table(key, value)?;
                Some(Data::Tables(vec![self.table(table, span, spec, Mode::Whole)]))
            }
            Kind::List(spec) | Kind::OneOrMore(spec) => self.list(key, value, spec),
            Kind::Named(spec) => {
                let table = self.as_table(key, value)?;
                Some(Data::Named(self.named(table, spec)))
            }
            Kind::TableAndNamed(short, long) => {
                let table = self.as_table(key, value)?;
                Some(self.both(table, span, short, long))
            }
        }
    }

    /// A table that may hold tables by name beside keys of its own: those that are tables and no
    /// key of it.
    fn both(
        &mut self,
        table: &DeTable<'_>,
        span: Span,
        short: &'static TableSpec,
        long: &'static TableSpec,
    ) -> Data {
        let is_named =
            |name: &str, value: &DeValue<'_>| short.key(name).is_none() && value.is_table();
        let (mut own, mut named) = (DeTable::new(), DeTable::new());
        for (key, value) in table {
            let into = if is_named(key.get_ref(), value.get_ref()) { &mut named } else { &mut own };
            into.insert(key.clone(), value.clone());
        }
        let only_named = own.is_empty() && !named.is_empty();
        let mode = if only_named { Mode::Override } else { Mode::Whole };
        Data::Both(self.table(&own, span, short, mode), self.named(&named, long))
    }

    fn list(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
        spec: &'static TableSpec,
    ) -> Option<Data> {
        let Some(items) = value.get_ref().as_array() else {
            let wanted = format!("tables written [[{}]]", key.name);
            return self.wrong_kind(key, value, &wanted);
        };
        let mut tables = Vec::new();
        for item in items.iter() {
            let table = self.as_table(key, item)?;
            tables.push(self.table(table, item.span(), spec, Mode::Whole));
        }
        Some(Data::Tables(tables))
    }

    /// Tables by name in the order of the file.
    fn named(&mut self, table: &DeTable<'_>, spec: &'static TableSpec) -> Vec<(Name, Checked)> {
        let mut found: Vec<(Name, Checked)> = Vec::new();
        for (key, value) in table {
            let name = Name { text: key.get_ref().to_string(), span: key.span() };
            if name.text.is_empty() {
                self.fault(key.span(), "a name is empty".into(), None);
            } else if let Some(inner) = value.get_ref().as_table() {
                found.push((name, self.table(inner, value.span(), spec, Mode::Whole)));
            } else {
                let help = format!("{} Write a table", spec.doc);
                let message = format!("`{}` is not a table", key.get_ref());
                self.fault(value.span(), message, Some(help));
            }
        }
        found.sort_by_key(|(name, _)| name.span.start);
        found
    }

    fn as_table<'t, 'i>(
        &mut self,
        key: &Key,
        value: &'t Spanned<DeValue<'i>>,
    ) -> Option<&'t DeTable<'i>> {
        let table = value.get_ref().as_table();
        if table.is_none() {
            let _: Option<()> = self.wrong_kind(key, value, "a table");
        }
        table
    }

    pub(super) fn wrong_kind<T>(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
        wanted: &str,
    ) -> Option<T> {
        let found = match value.get_ref() {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        let message = format!("`{}` is {found}; it takes {wanted}", key.name);
        self.fault(value.span(), message, Some(format!("write `{}`", example(key))));
        None
    }

    /// `number` if it lies within `bounds`.
    pub(super) fn within(
        &mut self,
        key: &Key,
        span: Span,
        number: f64,
        bounds: Bounds,
        quantity: Option<Quantity>,
    ) -> Option<f64> {
        let say = |value: f64| match quantity {
            Some(_) if value == 0.0 => "0".to_owned(),
            Some(quantity) => show_bound(value, quantity),
            None => value.to_string(),
        };
        let wrong = match bounds {
            Bounds { above: Some(above), .. } if number <= above => {
                Some(format!("greater than {}", say(above)))
            }
            Bounds { least: Some(least), .. } if number < least => {
                Some(format!("at least {}", say(least)))
            }
            Bounds { most: Some(most), .. } if number > most => {
                Some(format!("at most {}", say(most)))
            }
            _ => None,
        };
        let Some(wrong) = wrong else { return Some(number) };
        let help = format!("for example `{}`", example(key));
        self.fault(span, format!("`{}` must be {wrong}", key.name), Some(help));
        None
    }

    /// A text with a value of `quantity`, in SI.
    pub(super) fn quantity(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        quantity: Quantity,
    ) -> Option<f64> {
        self.any_of(value, &[quantity]).map(|(_, number)| number)
    }
}

fn lower_first(text: &str) -> String {
    let mut chars = text.trim_end_matches('.').chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}
