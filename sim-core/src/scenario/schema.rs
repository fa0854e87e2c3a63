//! The format as JSON Schema, so that editors complete and check scenario files.

use super::kinds::in_schema;
use super::spec::{Bounds, Key, Kind, TOP, TableSpec};
use crate::units::{Quantity, units_of};
use serde_json::{Map, Value, json};

/// The format of scenario files as a JSON Schema (draft 2020-12).
pub fn schema() -> Value {
    let mut schema = table(&TOP, true);
    if let Value::Object(map) = &mut schema {
        map.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
        map.insert("title".into(), json!("Millstream scenario"));
    }
    schema
}

pub(super) fn table(spec: &TableSpec, whole: bool) -> Value {
    let properties: Map<String, Value> = spec
        .keys()
        .flat_map(|key| key.names().map(|name| (name.to_owned(), property(key))))
        .collect();
    let required: Vec<&str> =
        spec.keys().filter(|key| key.required && whole).map(|key| key.name).collect();
    let mut schema = json!({
        "type": "object",
        "description": spec.doc,
        "properties": properties,
        "additionalProperties": false,
    });
    if !required.is_empty() {
        schema["required"] = json!(required);
    }
    schema
}

fn property(key: &Key) -> Value {
    let mut schema = in_schema(key);
    schema["description"] = json!(key.doc);
    if let Some(default) = key.default {
        schema["default"] = match key.kind {
            Kind::Flag => json!(default == "true"),
            Kind::Number(_) | Kind::Losses => json!(default.parse::<f64>().unwrap_or(0.0)),
            _ => json!(default),
        };
    }
    schema
}

pub(super) fn number(bounds: Bounds) -> Value {
    let mut schema = json!({ "type": "number" });
    bounds.each().for_each(|bound| schema[bound.schema] = json!(bound.value));
    schema
}

pub(super) fn opening() -> Value {
    json!({ "type": "string", "pattern": "^(open|closed|shut|\\s*[0-9.]+\\s*%)$" })
}

/// A text with a number and a unit of one of `quantities`.
pub(super) fn value_of(quantities: &[Quantity]) -> Value {
    let units = quantities.iter().flat_map(|quantity| units_of(*quantity));
    let spellings: Vec<String> =
        units.flat_map(|unit| unit.spellings.iter().map(|s| escaped(s))).collect();
    let examples: Vec<&str> = quantities.iter().map(|quantity| quantity.example()).collect();
    let number = r"[+-]?([0-9]+( [0-9]+)?/[0-9]+|[0-9]*\.?[0-9]+([eE][+-]?[0-9]+)?|[0-9]+\.)";
    json!({
        "type": "string",
        "pattern": format!(r"^\s*{number}\s*({})\s*$", spellings.join("|")),
        "examples": examples,
    })
}

/// `text` with what a pattern would take for a sign of its own made plain.
fn escaped(text: &str) -> String {
    let special = |c: char| "\\^$.|?*+()[]{}/".contains(c);
    text.chars().flat_map(|c| special(c).then_some('\\').into_iter().chain([c])).collect()
}
