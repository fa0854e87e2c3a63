//! Walks the file's tables beside their description and collects every fault.

use super::fault::{InputFault, MOST_FAULTS};
use super::kinds::{default_data, example};
use super::spec::{Bounds, Key, Kind, TableSpec, bounds};
use super::value::{Checked, Data, Instead, Name, Span, Value};
use crate::units::{Quantity, UnitSystem, lower_first, nearest, show_bound, suggestion};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Collects faults while tables are read.
#[derive(Debug, Default)]
pub(super) struct Walk {
    pub(super) faults: Vec<InputFault>,
    /// Whether blank texts are left out, and rows in which nothing was read: a template is filled in only in part.
    pub(super) blanks: bool,
    /// The units that messages are in.
    pub(super) units: UnitSystem,
    /// What stands in for values at fault.
    pub(super) instead: Instead,
    /// Whether things with names were lost to faults: who asks for one that is not there may be right.
    pub(super) lost: bool,
    /// Whether a name was found to stand for nothing: what it should have joined is apart.
    pub(super) unresolved: bool,
}

/// Keys whose value makes a row a reading; a row in which all of them are blank was not taken.
const READ: [&str; 3] = ["reads", "volume", "flow"];

/// How strictly a table is read.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Mode {
    /// Required keys must be there, defaults are filled in.
    Whole,
    /// Only what is there counts.
    Override,
}

impl Walk {
    pub(super) fn fault(
        &mut self,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.faults.push(InputFault::new(span, message, help));
    }

    /// Nothing where a value is wanted, and the fault that says why.
    pub(super) fn refuse<T>(
        &mut self,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Option<T> {
        self.fault(span, message, help);
        None
    }

    /// Reads `table`, described by `spec`.
    pub(super) fn table(
        &mut self,
        table: &DeTable<'_>,
        span: Span,
        spec: &'static TableSpec,
        mode: Mode,
    ) -> Checked {
        let mut checked = Checked { span: span.clone(), specs: vec![spec], ..Checked::default() };
        let mut strangers = Vec::new();
        for (key, value) in table {
            if self.left_out(value) {
                continue;
            }
            let Some(found) = spec.key(key.get_ref()) else {
                let meant = self.unknown_key(key, spec);
                if meant.is_none() {
                    strangers.push((self.faults.len() - 1, value));
                }
                if let Some(meant) =
                    meant.filter(|meant| !meant.names().any(|name| table.contains_key(name)))
                {
                    let data = self.meant(meant, value);
                    checked
                        .entries
                        .extend(data.map(|data| (meant.name, Value::new(value.span(), data))));
                }
                continue;
            };
            if key.get_ref() != found.name && table.contains_key(found.name) {
                let message = format!("`{}` and `{}` are the same key", key.get_ref(), found.name);
                self.fault(key.span(), message, "keep one of them");
                continue;
            }
            if let Some(data) = self.value_or_stand_in(found, value) {
                checked.entries.insert(found.name, Value::new(value.span(), data));
            }
        }
        if mode == Mode::Whole {
            let given = |key: &Key| {
                let mut given = key.names().filter_map(|name| table.get(name));
                given.any(|value| !self.left_out(value))
            };
            let absent = |key: &&Key| !given(key) && !checked.entries.contains_key(key.name);
            let absent: Vec<&'static Key> = spec.keys().filter(absent).collect();
            if let [(fault, value)] = strangers[..] {
                self.perhaps_missing((fault, value), spec, &absent, &mut checked);
            }
            for key in absent {
                if !checked.entries.contains_key(key.name) {
                    self.absent(key, &span, &mut checked);
                }
            }
        }
        checked
    }

    /// Takes the one key that the table does not know, reported as number `fault`, for the one required key among those
    /// `absent`, if its `value` would do for that: one mistake, one message.
    fn perhaps_missing(
        &mut self,
        (fault, value): (usize, &Spanned<DeValue<'_>>),
        spec: &TableSpec,
        absent: &[&'static Key],
        checked: &mut Checked,
    ) {
        let mut required = absent.iter().filter(|key| key.required);
        let (Some(key), None) = (required.next(), required.next()) else { return };
        let before = self.faults.len();
        let data = self.value(key, value);
        if self.faults.len() > before {
            self.faults.truncate(before);
            return;
        }
        if let Some(data) = data {
            let names: Vec<&str> = spec.keys().map(|key| key.name).collect();
            let names = names.join(", ");
            let help =
                format!("did you mean `{}`, which is missing? Known keys: {names}", key.name);
            self.faults[fault].help = Some(help);
            checked.entries.insert(key.name, Value::new(value.span(), data));
        }
    }

    /// Whether `value` is blank and so counts for nothing.
    pub(super) fn left_out(&self, value: &Spanned<DeValue<'_>>) -> bool {
        self.blanks && value.get_ref().as_str().is_some_and(|text| text.trim().is_empty())
    }

    /// Whether `row` has places for values, all of them blank.
    fn not_taken(&self, row: &DeValue<'_>) -> bool {
        let mut values = READ.iter().filter_map(|key| row.as_table()?.get(*key)).peekable();
        self.blanks && values.peek().is_some() && values.all(|value| self.left_out(value))
    }

    /// The value of `key`, or what stands in for one at fault.
    fn value_or_stand_in(
        &mut self,
        key: &'static Key,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Data> {
        self.value(key, value).or_else(|| self.stand_in(key, &value.span()))
    }

    /// The value of a key that is not spelt as `key` and seems to mean it: its own faults count where it holds tables.
    fn meant(&mut self, key: &'static Key, value: &Spanned<DeValue<'_>>) -> Option<Data> {
        let before = self.faults.len();
        let data = self.value_or_stand_in(key, value);
        if key.kind.tables().is_empty() {
            self.faults.truncate(before);
        }
        data
    }

    /// Reports a key that no table of `spec` has; gives the one that is meant, if any is near.
    fn unknown_key(
        &mut self,
        key: &Spanned<std::borrow::Cow<'_, str>>,
        spec: &TableSpec,
    ) -> Option<&'static Key> {
        let (mut help, mut meant) = (String::new(), None);
        if self.faults.len() < MOST_FAULTS {
            let names: Vec<&str> = spec.keys().map(|key| key.name).collect();
            let list = format!("Known keys: {}", names.join(", "));
            meant = nearest(key.get_ref(), names.iter().copied()).and_then(|name| spec.key(name));
            help = suggestion(key.get_ref(), names.into_iter(), '`', &list);
        }
        self.fault(key.span(), format!("unknown key `{}`", key.get_ref()), help);
        meant
    }

    fn absent(&mut self, key: &'static Key, span: &Span, checked: &mut Checked) {
        if key.required {
            let help = format!(
                "add `{}`: {}",
                example(key, self.units),
                lower_first(key.doc.trim_end_matches('.'))
            );
            self.fault(span.clone(), format!("`{}` is missing", key.name), help);
            let data = self.stand_in(key, span);
            checked.entries.extend(data.map(|data| (key.name, Value::new(span.clone(), data))));
        } else if let Some(data) = key.default.and_then(|text| default_data(key, text)) {
            checked.entries.insert(key.name, Value::new(span.clone(), data));
        }
    }

    // Longer than a screen: one arm a kind of value, and nothing else.
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
            Kind::Counts { most } => self.counts(key, value, most),
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
            Kind::Losses => self.losses(key, value),
            Kind::Opening => self.opening(value).map(Data::Number),
            Kind::Openings => self.settings(key, value, Self::opening),
            Kind::Each(quantity, most) => self.settings(key, value, |walk, value| {
                let number = walk.quantity(value, quantity)?;
                let bounds = bounds(None, Some(0.0), Some(most));
                walk.within(key, value.span(), number, bounds, Some(quantity))
            }),
            Kind::Contents => self.contents(value).map(Data::Contents),
            Kind::Entries => self.entries(key, value).map(Data::Entries),
            Kind::SectionOrder => self.order(key, value).map(Data::SectionOrder),
            Kind::Points(x, ys) => self.points(key, value, x, ys),
            Kind::Pair(quantity) => self.pair(key, value, quantity),
            Kind::Limit(measure) => self.limit(value, measure).map(Data::Limit),
            Kind::Table(spec) | Kind::Override(spec) => {
                let whole = matches!(key.kind, Kind::Table(_));
                let mode = if whole { Mode::Whole } else { Mode::Override };
                let table = self.as_table(key, value)?;
                Some(Data::Table(self.table(table, span, spec, mode)))
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
        let mut tables = Vec::new();
        if let Some(table) = value.get_ref().as_table() {
            let message =
                format!("[{}] is written once for each, in two pairs of brackets", key.name);
            self.fault(value.span(), message, format!("write [[{}]]", key.name));
            tables.push(self.table(table, value.span(), spec, Mode::Whole));
            return Some(Data::Tables(tables));
        }
        let Some(items) = value.get_ref().as_array() else {
            let wanted = format!("tables written [[{}]]", key.name);
            return self.wrong_kind(key, value, &wanted);
        };
        for item in items.iter() {
            if self.not_taken(item.get_ref()) {
                continue;
            }
            match self.as_table(key, item) {
                Some(table) => tables.push(self.table(table, item.span(), spec, Mode::Whole)),
                None => self.lost = true,
            }
        }
        Some(Data::Tables(tables))
    }

    /// Tables by name in the order of the file.
    fn named(&mut self, table: &DeTable<'_>, spec: &'static TableSpec) -> Vec<(Name, Checked)> {
        let mut found: Vec<(Name, Checked)> = Vec::new();
        for (key, value) in table {
            let name = Name { text: key.get_ref().to_string(), span: key.span() };
            if name.text.is_empty() {
                self.fault(key.span(), "a name is empty", "");
            } else if let Some(inner) = value.get_ref().as_table() {
                found.push((name, self.table(inner, value.span(), spec, Mode::Whole)));
            } else {
                let message = format!("`{}` is not a table", key.get_ref());
                self.fault(value.span(), message, format!("{} Write a table", spec.doc));
                self.lost = true;
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
        let example = match value.get_ref() {
            // As it is on the tip.
            DeValue::Integer(code) if key.name == "size" => {
                format!("size = \"{:0>2}\"", code.as_str())
            }
            _ => example(key, self.units),
        };
        self.refuse(value.span(), message, format!("write `{example}`"))
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
            Some(quantity) => show_bound(value, quantity, self.units),
            None => value.to_string(),
        };
        let Some(bound) = bounds.broken_by(number) else { return Some(number) };
        let message = format!("`{}` must be {} {}", key.name, bound.words, say(bound.value));
        self.refuse(span, message, format!("for example `{}`", example(key, self.units)))
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
