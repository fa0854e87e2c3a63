//! Notes of what changes nothing.

use super::super::super::fault::InputFault;
use super::super::super::kinds::default_data;
use super::super::super::value::{Checked, Data, Span};
use crate::units::UnitSystem;

/// Notes of keys that say nothing, as they are found.
pub(super) struct Notes {
    found: Vec<InputFault>,
    /// The units that they are in.
    pub(super) units: UnitSystem,
}

impl Notes {
    pub(super) fn new(units: UnitSystem) -> Self {
        Self { found: Vec::new(), units }
    }

    pub(super) fn add(&mut self, span: Span, message: impl Into<String>, help: impl Into<String>) {
        self.found.push(InputFault::new(span, message, help));
    }

    /// A note of each of `keys` that `table` gives a value.
    pub(super) fn given(&mut self, table: Option<&Checked>, keys: &[&str], why: &str, help: &str) {
        let Some(table) = table else { return };
        for key in keys.iter().filter(|key| table.gives(key)) {
            self.add(table.span_of(key), format!("`{key}` says nothing: {why}"), help);
        }
    }

    pub(super) fn into_faults(self) -> Vec<InputFault> {
        self.found
    }
}

/// Whether the value of `key` in `table` is what it would be if it were left out.
pub(super) fn is_default(table: &Checked, key: &str) -> bool {
    let declared = table.specs.iter().find_map(|spec| spec.key(key));
    let Some((value, declared)) = table.entries.get(key).zip(declared) else { return true };
    let usual = declared.default.and_then(|text| default_data(declared, text));
    match (&value.data, usual) {
        (Data::Number(own) | Data::Of(_, own), Some(Data::Number(usual) | Data::Of(_, usual))) => {
            *own == usual
        }
        (Data::Flag(own), Some(Data::Flag(usual))) => *own == usual,
        (Data::Text(own), Some(Data::Text(usual))) => *own == usual,
        _ => false,
    }
}
