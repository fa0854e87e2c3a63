//! Numbers that are none, wherever a run writes.

use serde_json::Value;

/// What of `text`, a file called `name` that a run wrote, is no finite number; JSON has no word for one, and a time
/// that was not reached alone may stand there as null.
pub fn not_finite(name: &str, text: &str) -> Option<String> {
    if name.ends_with(".json") {
        return match serde_json::from_str(text) {
            Ok(value) => null(&value, ""),
            Err(error) => Some(format!("no JSON: {error}")),
        };
    }
    let parts = |c: char| !(c.is_ascii_alphanumeric() || c == '_');
    let words = text.split(parts);
    let mut wrong = words.filter(|word| matches!(word.to_ascii_lowercase().as_str(), "nan" | "inf"));
    wrong.next().map(str::to_owned)
}

/// The first key below `above` that stands at null and is no time.
fn null(value: &Value, above: &str) -> Option<String> {
    match value {
        Value::Null => (!above.ends_with("_s")).then(|| above.to_owned()),
        Value::Array(items) => items.iter().find_map(|item| null(item, above)),
        Value::Object(map) => {
            map.iter().find_map(|(key, item)| null(item, &format!("{above}.{key}")))
        }
        _ => None,
    }
}
