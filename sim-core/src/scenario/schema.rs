//! The format as JSON Schema, so that editors complete and check scenario files.

use super::kinds::table;
use super::spec::{TOP, TableSpec};
use serde_json::{Value, json};

/// The format of scenario files as a JSON Schema (draft 2020-12).
pub fn schema() -> Value {
    titled(&TOP, "Millstream scenario")
}

/// The format that `spec` describes as a JSON Schema called `title`.
pub(super) fn titled(spec: &'static TableSpec, title: &str) -> Value {
    let mut schema = table(spec, true);
    if let Value::Object(map) = &mut schema {
        map.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
        map.insert("title".into(), json!(title));
    }
    schema
}
