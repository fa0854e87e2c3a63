//! The format as JSON Schema, so that editors complete and check scenario files.

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

fn table(spec: &TableSpec, whole: bool) -> Value {
    let properties: Map<String, Value> =
        spec.keys.iter().map(|key| (key.name.to_owned(), property(key))).collect();
    let required: Vec<&str> =
        spec.keys.iter().filter(|key| key.required && whole).map(|key| key.name).collect();
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
    let mut schema = kind(key.kind);
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

fn kind(kind: Kind) -> Value {
    let text = || json!({ "type": "string" });
    let named = |spec| json!({ "type": "object", "additionalProperties": table(spec, true) });
    match kind {
        Kind::Text | Kind::File => text(),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Number(bounds) => number(bounds),
        Kind::Count { most } => json!({ "type": "integer", "minimum": 1, "maximum": most }),
        Kind::Quantity(quantity, _) => value_of(&[quantity]),
        Kind::AnyOf(quantities) => value_of(quantities),
        Kind::Choice(words) => json!({ "type": "string", "enum": words }),
        Kind::Names => json!({ "type": "array", "items": text() }),
        Kind::Losses => {
            json!({ "type": ["number", "array"], "minimum": 0, "items": text() })
        }
        Kind::Opening => opening(),
        Kind::Openings => json!({ "type": "object", "additionalProperties": opening() }),
        Kind::Speeds => {
            json!({ "type": "object", "additionalProperties": value_of(&[Quantity::Share]) })
        }
        Kind::Durations => {
            json!({ "type": "object", "additionalProperties": value_of(&[Quantity::Duration]) })
        }
        Kind::Contents => {
            json!({ "anyOf": [{ "const": "air" }, value_of(&[Quantity::Share])] })
        }
        Kind::Entries => json!({ "anyOf": [
            { "type": "array", "items": text() },
            { "type": "object", "additionalProperties": text() },
        ] }),
        Kind::Order => json!({ "anyOf": [
            { "enum": ["together", "one at a time"] },
            { "type": "array", "minItems": 1, "items": { "anyOf": [
                text(), { "type": "array", "minItems": 1, "items": text() }
            ] } },
        ] }),
        Kind::Points(x, ys) => json!({ "type": "array", "items": {
            "type": "array", "prefixItems": [value_of(&[x]), value_of(ys)], "minItems": 2, "maxItems": 2
        } }),
        Kind::Pair(quantity) => json!({
            "type": "array", "items": value_of(&[quantity]), "minItems": 2, "maxItems": 2
        }),
        Kind::Limit(measure) => {
            let value = || value_of(&[measure.quantity()]);
            json!({ "anyOf": [
                value(),
                { "const": "off" },
                { "type": "object", "additionalProperties": false,
                  "anyOf": [{ "required": ["at_most"] }, { "required": ["at_least"] }],
                  "properties": { "at_most": value(), "at_least": value(), "source": text() } },
            ] })
        }
        Kind::Table(spec) => table(spec, true),
        Kind::Override(spec) => table(spec, false),
        Kind::OneOrMore(spec) => json!({ "anyOf": [
            table(spec, true), { "type": "array", "items": table(spec, true) }
        ] }),
        Kind::List(spec) => json!({ "type": "array", "items": table(spec, true) }),
        Kind::Named(spec) => named(spec),
        Kind::TableAndNamed(short, long) => {
            let mut schema = table(short, false);
            schema["additionalProperties"] = table(long, true);
            schema
        }
    }
}

fn number(bounds: Bounds) -> Value {
    let mut schema = json!({ "type": "number" });
    if let Some(above) = bounds.above {
        schema["exclusiveMinimum"] = json!(above);
    }
    if let Some(least) = bounds.least {
        schema["minimum"] = json!(least);
    }
    if let Some(most) = bounds.most {
        schema["maximum"] = json!(most);
    }
    schema
}

fn opening() -> Value {
    json!({ "type": "string", "pattern": "^(open|closed|shut|\\s*[0-9.]+\\s*%)$" })
}

/// A text with a number and a unit of one of `quantities`.
fn value_of(quantities: &[Quantity]) -> Value {
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
