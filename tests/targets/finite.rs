//! Numbers that are none, wherever a run writes.

use serde_json::Value;

/// What of `text`, a file called `name` that a run wrote, is no finite number. JSON has no word for one: only a time
/// that was not reached and the size of a fault that has none may be there as null.
pub fn not_finite(name: &str, text: &str) -> Option<String> {
    if name.ends_with(".json") {
        return match serde_json::from_str(text) {
            Ok(value) => null(&value, ""),
            Err(error) => Some(format!("no JSON: {error}")),
        };
    }
    let page = if name.ends_with(".html") { shown(text) } else { String::new() };
    let text = if name.ends_with(".html") { page.as_str() } else { text };
    let parts = |c: char| !(c.is_ascii_alphanumeric() || c == '_');
    let words = text.split(parts);
    let mut wrong =
        words.filter(|word| matches!(word.to_ascii_lowercase().as_str(), "nan" | "inf"));
    wrong.next().map(str::to_owned)
}

/// What a page shows and draws from: all of it but its program.
fn shown(page: &str) -> String {
    let mut kept = String::new();
    for (i, piece) in page.split("<script").enumerate() {
        let program = i > 0 && !piece.split('>').next().unwrap_or("").contains("application/json");
        let from = if program { piece.find("</script>").unwrap_or(piece.len()) } else { 0 };
        kept.push_str(&piece[from..]);
    }
    kept
}

/// The first key below `above` that is at null and is no time.
fn null(value: &Value, above: &str) -> Option<String> {
    match value {
        Value::Null => {
            let may = above.ends_with("_s") || above.ends_with(".severity_factor");
            (!may).then(|| above.to_owned())
        }
        Value::Array(items) => items.iter().find_map(|item| null(item, above)),
        Value::Object(map) => {
            map.iter().find_map(|(key, item)| null(item, &format!("{above}.{key}")))
        }
        _ => None,
    }
}
