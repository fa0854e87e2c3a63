//! The format as JSON Schema, so that editors complete and check scenario files.

use super::kinds::table;
use super::spec::TOP;
use serde_json::{Value, json};

/// The format of scenario files as a JSON Schema (draft 2020-12).
pub fn schema() -> Value {
    let mut schema = table(&TOP, true);
    if let Value::Object(map) = &mut schema {
        map.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
        map.insert("title".into(), json!("Millstream scenario"));
    }
    schema
}
