//! Whether a value follows a JSON Schema (draft 2020-12), as far as the schemas of this product go.

use serde_json::{Map, Value};

/// Keywords that say nothing about a value.
const NOTES: [&str; 5] = ["$schema", "$defs", "title", "description", "format"];

/// Whether `value` follows `schema`, whose references are into `definitions`; keys of objects that the schema does not
/// name are not allowed.
///
/// # Panics
/// On a keyword that this check does not know: it would not be held.
pub fn follows(value: &Value, schema: &Value, definitions: &Value) -> bool {
    held(value, schema, definitions) && named(value, schema, definitions)
}

/// Whether `value` follows every keyword of `schema`.
fn held(value: &Value, schema: &Value, definitions: &Value) -> bool {
    let Some(keywords) = schema.as_object() else { return schema.as_bool().unwrap_or(false) };
    keywords.iter().all(|(keyword, wanted)| match keyword.as_str() {
        "$ref" => held(value, resolved(wanted, definitions), definitions),
        "type" => match wanted {
            Value::Array(types) => types.iter().any(|one| is(value, one)),
            one => is(value, one),
        },
        "const" => value == wanted,
        "enum" => wanted.as_array().is_some_and(|values| values.contains(value)),
        "minimum" => value.as_f64() >= wanted.as_f64(),
        "required" => {
            let has = |key: &Value| value.get(key.as_str().unwrap_or_default()).is_some();
            wanted.as_array().is_some_and(|keys| keys.iter().all(has))
        }
        "properties" => members(wanted).all(|(key, schema)| {
            value.get(key).is_none_or(|value| follows(value, schema, definitions))
        }),
        "additionalProperties" => match wanted {
            Value::Bool(_) => true,
            each => members(value).all(|(_, value)| follows(value, each, definitions)),
        },
        "items" => value
            .as_array()
            .is_none_or(|items| items.iter().all(|item| follows(item, wanted, definitions))),
        "minItems" | "maxItems" => value.as_array().is_none_or(|items| {
            let wanted = wanted.as_u64().unwrap_or_default();
            let count = items.len() as u64;
            if keyword == "minItems" { count >= wanted } else { count <= wanted }
        }),
        "anyOf" => ways(wanted).any(|way| held(value, way, definitions)),
        "oneOf" => ways(wanted).filter(|way| held(value, way, definitions)).count() == 1,
        other => {
            assert!(NOTES.contains(&other), "the schema says {other}, which is not checked");
            true
        }
    })
}

/// Whether the keys of `value`, if it is an object, are all named by `schema`.
fn named(value: &Value, schema: &Value, definitions: &Value) -> bool {
    let names = |key: &String| names(schema, key, definitions);
    members(value).all(|(key, _)| names(key))
}

fn names(schema: &Value, key: &str, definitions: &Value) -> bool {
    schema["properties"].get(key).is_some()
        || schema.get("additionalProperties").is_some_and(|each| *each != Value::Bool(false))
        || schema.get("$ref").is_some_and(|to| names(resolved(to, definitions), key, definitions))
        || ["anyOf", "oneOf"]
            .iter()
            .any(|of| ways(&schema[of]).any(|way| names(way, key, definitions)))
}

fn is(value: &Value, name: &Value) -> bool {
    match name.as_str() {
        Some("null") => value.is_null(),
        Some("boolean") => value.is_boolean(),
        Some("integer") => value.is_i64() || value.is_u64(),
        Some("number") => value.is_number(),
        Some("string") => value.is_string(),
        Some("array") => value.is_array(),
        Some("object") => value.is_object(),
        _ => false,
    }
}

fn resolved<'a>(reference: &Value, definitions: &'a Value) -> &'a Value {
    let name = reference.as_str().and_then(|path| path.rsplit('/').next());
    &definitions[name.unwrap_or_default()]
}

fn members(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flat_map(Map::iter)
}

fn ways(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}
