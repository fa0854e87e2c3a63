//! Leaves out what was left blank: a template is filled in only where something was read.

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// Keys whose value makes a row a reading; a row in which all of them are blank was not taken.
const VALUES: [&str; 3] = ["reads", "volume", "flow"];

/// `table` without blank texts and without rows in which nothing was read.
pub(super) fn left_out<'i>(table: &DeTable<'i>) -> DeTable<'i> {
    let mut kept = DeTable::new();
    for (key, value) in table {
        if !is_blank(value.get_ref()) {
            kept.insert(key.clone(), Spanned::new(value.span(), cleaned(value.get_ref())));
        }
    }
    kept
}

fn cleaned<'i>(value: &DeValue<'i>) -> DeValue<'i> {
    match value {
        DeValue::Table(table) => DeValue::Table(left_out(table)),
        DeValue::Array(items) => {
            let mut kept = DeArray::default();
            let read = items.iter().filter(|item| !not_taken(item.get_ref()));
            read.for_each(|item| kept.push(Spanned::new(item.span(), cleaned(item.get_ref()))));
            DeValue::Array(kept)
        }
        other => other.clone(),
    }
}

fn is_blank(value: &DeValue<'_>) -> bool {
    value.as_str().is_some_and(|text| text.trim().is_empty())
}

/// Whether `row` has places for values, all of them blank.
fn not_taken(row: &DeValue<'_>) -> bool {
    let Some(table) = row.as_table() else { return false };
    let mut values =
        table.iter().filter(|(key, _)| VALUES.contains(&key.get_ref().as_ref())).peekable();
    values.peek().is_some() && values.all(|(_, value)| is_blank(value.get_ref()))
}
