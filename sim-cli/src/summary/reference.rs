//! The layout of `summary.json`, for programs and for readers: both are written from the types that fill it.

use super::document::Summary;
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value};
use std::fmt::Write as _;

/// The JSON Schema of `summary.json`.
pub(crate) fn schema() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    settings.into_generator().into_root_schema_for::<Summary<'_>>().to_value()
}

const INTRODUCTION: &str = "# summary.json

This page and its [JSON Schema](summary.schema.json) are written by `millstream reference summary` and `millstream
schema summary`; a test keeps them in step with the program.

`millstream run FILE --out DIR` writes `summary.json` into DIR; `--json` prints it. Numbers are SI and their names end in
their unit; a share is a fraction (0.1 is 10 %), a concentration is product in the liquid over product in the tank mix
at label strength. Pressures are gauge. A value that does not apply is left out, never zero; a time that was not
reached while its step lasted is null. Fields may be added; those listed here stay while `schema` is `\"2\"`.

| key | meaning |
| --- | --- |
";

/// The layout of `summary.json` as a page of Markdown: every key.
pub(crate) fn reference() -> String {
    let schema = schema();
    let mut page = INTRODUCTION.to_owned();
    SchemaWalk { definitions: &schema["$defs"], page: &mut page }.keys_of(&schema, "");
    page
}

/// A walk through a schema that writes a row for each key.
struct SchemaWalk<'a> {
    definitions: &'a Value,
    page: &'a mut String,
}

impl<'a> SchemaWalk<'a> {
    /// Rows of the keys of `schema`, which is what is at `path`.
    fn keys_of(&mut self, schema: &'a Value, path: &str) {
        let schema = self.resolved(schema);
        if let Some(items) = schema.get("items") {
            return self.keys_of(items, path);
        }
        for (key, value) in members(schema) {
            let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
            let words = self.words(value).join(", ");
            let meaning = value["description"].as_str().or(schema["description"].as_str());
            let meaning = meaning.unwrap_or_default().replace('\n', " ");
            let meaning = meaning.strip_suffix('.').unwrap_or(&meaning);
            let words = if words.is_empty() { words } else { format!(": {words}") };
            // Writing to a String cannot fail.
            let _ = writeln!(self.page, "| `{path}` | {meaning}{words} |");
            self.keys_of(value, &path);
        }
        for way in ways(schema) {
            self.keys_of(way, path);
        }
    }

    /// What `schema` refers to, or itself.
    fn resolved(&self, schema: &'a Value) -> &'a Value {
        let name = schema["$ref"].as_str().and_then(|name| name.rsplit('/').next());
        name.map_or(schema, |name| &self.definitions[name])
    }

    /// The words that a value may be, where it is one of several.
    fn words(&self, schema: &'a Value) -> Vec<String> {
        let each = |way: &'a Value| match way["const"].as_str().or(way["required"][0].as_str()) {
            Some(word) => vec![format!("`{word}`")],
            None => self.words(way),
        };
        ways(self.resolved(schema)).flat_map(each).collect()
    }
}

/// Keys of an object with their schemas.
fn members(schema: &Value) -> impl Iterator<Item = (&String, &Value)> {
    schema["properties"].as_object().into_iter().flat_map(Map::iter)
}

/// Schemas of which a value follows one.
fn ways(schema: &Value) -> impl Iterator<Item = &Value> {
    ["oneOf", "anyOf"].into_iter().filter_map(|key| schema[key].as_array()).flatten()
}
