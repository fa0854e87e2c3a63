//! Writing TOML.

use crate::units::{Quantity, write_exact};
use std::fmt::Write as _;

/// A TOML file under construction.
#[derive(Debug, Default)]
pub(super) struct Writer {
    text: String,
}

impl Writer {
    fn line(&mut self, line: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        let _ = self.text.write_fmt(line);
        self.text.push('\n');
    }

    /// Opens a table.
    pub(super) fn table(&mut self, name: &str) {
        self.line(format_args!("\n[{name}]"));
    }

    /// Opens a table called `name` among those of `kind`.
    pub(super) fn named(&mut self, kind: &str, name: &str) {
        self.line(format_args!("\n[{kind}.{}]", key(name)));
    }

    /// Opens the next table of a list.
    pub(super) fn item(&mut self, name: &str) {
        self.line(format_args!("\n[[{name}]]"));
    }

    /// A key with a value already in TOML.
    pub(super) fn plain(&mut self, key: &str, value: &str) {
        self.line(format_args!("{key} = {value}"));
    }

    /// A key with a text.
    pub(super) fn text(&mut self, key: &str, value: &str) {
        self.plain(key, &quoted(value));
    }

    /// A key with a plain number.
    pub(super) fn number(&mut self, key: &str, value: f64) {
        self.plain(key, &format!("{value:?}"));
    }

    /// A key with a value and its unit.
    pub(super) fn quantity(&mut self, key: &str, value_si: f64, quantity: Quantity) {
        self.text(key, &write_exact(value_si, quantity));
    }

    /// A key with a value and its unit, if there is one.
    pub(super) fn optional(&mut self, key: &str, value_si: Option<f64>, quantity: Quantity) {
        if let Some(value_si) = value_si {
            self.quantity(key, value_si, quantity);
        }
    }

    /// A key with a list of texts.
    pub(super) fn list<'a>(&mut self, key: &str, items: impl Iterator<Item = &'a str>) {
        let items: Vec<String> = items.map(quoted).collect();
        self.plain(key, &format!("[{}]", items.join(", ")));
    }

    pub(super) fn finish(self) -> String {
        self.text
    }
}

/// `name` as a key: bare where TOML allows it.
pub(super) fn key(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    if !name.is_empty() && name.chars().all(bare) { name.to_owned() } else { quoted(name) }
}

/// `text` as a TOML basic string.
pub(super) fn quoted(text: &str) -> String {
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
