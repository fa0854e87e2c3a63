//! Writing TOML: how a value is written follows from its key in the description of the format.

use super::super::spec::{Kind, TOP, TableSpec};
use crate::units::{Quantity, UnitSystem, write_exact};
use std::fmt::Write as _;

/// A TOML file under construction.
pub(in crate::scenario) struct Writer {
    text: String,
    /// The table that is open.
    spec: &'static TableSpec,
    /// What values are in, where that says them exactly.
    units: UnitSystem,
}

/// A value that can be written.
pub(in crate::scenario) trait Written {
    /// In TOML, as a key of this `kind` takes it, in `units`; `None` leaves the key out.
    fn toml(&self, kind: Kind, units: UnitSystem) -> Option<String>;
}

impl Writer {
    pub(in crate::scenario) fn new(units: UnitSystem) -> Self {
        Self { text: String::new(), spec: &TOP, units }
    }

    fn line(&mut self, line: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = self.text.write_fmt(line);
        self.text.push('\n');
    }

    /// Opens a table.
    pub(in crate::scenario) fn table(&mut self, name: &str) {
        self.line(format_args!("\n[{name}]"));
        self.spec = inner(&TOP, name);
    }

    /// Opens a table called `name` among those of `kind`.
    pub(in crate::scenario) fn named(&mut self, kind: &str, name: &str) {
        self.line(format_args!("\n[{kind}.{}]", key(name)));
        self.spec = inner(&TOP, kind);
    }

    /// Opens the next table of a list, which may be within another: `step.load`.
    pub(in crate::scenario) fn item(&mut self, name: &str) {
        self.line(format_args!("\n[[{name}]]"));
        self.spec = name.split('.').fold(&TOP, inner);
    }

    /// A key with a value already in TOML.
    pub(in crate::scenario) fn plain(&mut self, key: &str, value: &str) {
        self.line(format_args!("{key} = {value}"));
    }

    /// A key with its value, unless that is nothing.
    pub(in crate::scenario) fn put(&mut self, key: &str, value: impl Written) {
        let kind = self.spec.key(key).map_or(Kind::Text, |key| key.kind);
        if let Some(text) = value.toml(kind, self.units) {
            self.plain(key, &text);
        }
    }

    /// A key with a table on its own line, whose keys `fill` writes.
    pub(in crate::scenario) fn inline(&mut self, key: &str, fill: impl FnOnce(&mut Self)) {
        let mut inner =
            Self { text: String::new(), spec: inner(self.spec, key), units: self.units };
        fill(&mut inner);
        let keys: Vec<&str> = inner.text.lines().collect();
        self.plain(key, &format!("{{ {} }}", keys.join(", ")));
    }

    pub(in crate::scenario) fn finish(self) -> String {
        self.text
    }
}

/// What is said of the tables that `key` of `spec` holds; of those by name, where some are not.
fn inner(spec: &'static TableSpec, key: &str) -> &'static TableSpec {
    let tables = spec.key(key).map(|key| key.kind.tables());
    tables.and_then(|tables| tables.last().map(|(_, spec)| *spec)).unwrap_or(spec)
}

impl<T: Written + ?Sized> Written for &T {
    fn toml(&self, kind: Kind, units: UnitSystem) -> Option<String> {
        (**self).toml(kind, units)
    }
}

impl<T: Written> Written for Option<T> {
    fn toml(&self, kind: Kind, units: UnitSystem) -> Option<String> {
        self.as_ref()?.toml(kind, units)
    }
}

/// Names with a value each; nothing where there are none.
impl<T: Written> Written for Vec<(&str, T)> {
    fn toml(&self, kind: Kind, units: UnitSystem) -> Option<String> {
        let own = |(name, value): &(&str, T)| {
            Some(format!("{} = {}", key(name), value.toml(kind, units)?))
        };
        let items: Vec<String> = self.iter().filter_map(own).collect();
        (!items.is_empty()).then(|| format!("{{ {} }}", items.join(", ")))
    }
}

/// Values of each type in TOML, as a key of a kind takes them.
macro_rules! written {
    ($($(#[$doc:meta])* $type:ty: $value:ident, $kind:pat, $units:pat => $toml:expr;)+) => {$(
        $(#[$doc])*
        impl Written for $type {
            fn toml(&self, $kind: Kind, $units: UnitSystem) -> Option<String> {
                let $value = self;
                $toml
            }
        }
    )+};
}

written! {
    str: text, _, _ => Some(quoted(text));
    String: text, _, _ => Some(quoted(text));
    bool: flag, _, _ => Some(flag.to_string());
    usize: count, _, _ => Some(count.to_string());
    f64: number, kind, units => {
        let quantity = match kind {
            Kind::Quantity(of, _) | Kind::Pair(of) | Kind::Each(of, _) => of,
            Kind::Opening | Kind::Openings | Kind::Contents => Quantity::Share,
            _ => return Some(format!("{number:?}")),
        };
        (quantity, *number).toml(kind, units)
    };
    /// A value of one of several quantities.
    (Quantity, f64): value, _, units => Some(quoted(&write_exact(value.1, value.0, units)));
    (f64, f64): pair, kind, units => {
        let (first, second) = match kind {
            Kind::Points(x, ys) => {
                ((x, pair.0).toml(kind, units)?, (*ys.last()?, pair.1).toml(kind, units)?)
            }
            _ => (pair.0.toml(kind, units)?, pair.1.toml(kind, units)?),
        };
        Some(format!("[{first}, {second}]"))
    };
    /// Points; nothing where there are none.
    [(f64, f64)]: points, kind, units => {
        let points: Vec<String> = points.iter().filter_map(|point| point.toml(kind, units)).collect();
        (!points.is_empty()).then(|| format!("[{}]", points.join(", ")))
    };
    Vec<&str>: names, _, _ => {
        let names: Vec<String> = names.iter().map(|name| quoted(name)).collect();
        Some(format!("[{}]", names.join(", ")))
    };
}

/// `name` as a key: bare where TOML allows it.
fn key(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    if !name.is_empty() && name.chars().all(bare) { name.to_owned() } else { quoted(name) }
}

/// `text` as a TOML basic string.
pub(in crate::scenario) fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}
