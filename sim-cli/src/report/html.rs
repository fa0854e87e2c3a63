//! The outermost frame of a page, and text made safe to be in it.

pub(crate) use crate::columns::escaped;

use crate::columns::policy_of;
use serde::Serialize;

/// The script that pages share, in the order in which it is in them.
const SHARED: [&str; 5] = [
    include_str!("page/elements.js"),
    include_str!("page/data.js"),
    include_str!("page/colour.js"),
    include_str!("page/boom.js"),
    include_str!("page/graph.js"),
];
/// What a report adds.
const REPORT: [&str; 2] = [include_str!("page/clock.js"), include_str!("page/main.js")];

/// What a page has beside what all share.
pub(crate) struct Parts<'a> {
    pub(crate) style: &'a str,
    pub(crate) script: &'a str,
    /// Whether it runs a module of WebAssembly.
    pub(crate) computes: bool,
}

/// `data` as JSON that may be in a script element: nothing in it can end that element.
pub(crate) fn embedded(data: &impl Serialize) -> String {
    // Plain structs of text and numbers always serialise.
    let json = serde_json::to_string(data).unwrap_or_default();
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}

/// `template` with what stands between braces, `{{so}}`, put in; what is put in is not looked through again.
pub(crate) fn fill(template: &str, values: &[(&str, &str)]) -> String {
    let mut filled = String::new();
    let mut rest = template;
    while let Some((before, after)) = rest.split_once("{{") {
        let (name, behind) = after.split_once("}}").unwrap_or((after, ""));
        filled.push_str(before);
        let value = values.iter().find(|(key, _)| *key == name);
        debug_assert!(value.is_some(), "nothing to put in for {name}");
        filled.push_str(value.map_or("", |(_, value)| value));
        rest = behind;
    }
    filled.push_str(rest);
    filled
}

/// A whole page with its style, its script and `data`, which is JSON made safe.
pub(crate) fn shell(title: &str, body: &str, data: &str) -> String {
    let parts = Parts { style: "", script: &REPORT.join("\n"), computes: false };
    page(title, body, data, &parts)
}

/// The same of a page with `parts` of its own.
pub(crate) fn page(title: &str, body: &str, data: &str, parts: &Parts<'_>) -> String {
    let may = if parts.computes { " 'wasm-unsafe-eval'" } else { "" };
    let (policy, nonce) = policy_of(&[title, body, data], may);
    let style = [include_str!("page/style.css"), parts.style].concat();
    fill(
        include_str!("page/shell.html"),
        &[
            ("policy", &policy),
            ("nonce", &nonce),
            ("title", &escaped(title)),
            ("style", &style),
            ("print", include_str!("page/print.css")),
            ("body", body),
            ("data", data),
            ("script", &[&SHARED.join("\n"), parts.script].join("\n")),
        ],
    )
}

#[cfg(test)]
mod tests {
    use super::{embedded, escaped, fill};

    #[test]
    fn no_text_leaves_the_place_it_stands_in() {
        let evil = "</script><img src=x onerror=\"alert('1')\">&";
        assert!(!escaped(evil).contains(['<', '>', '"', '\'']));
        assert!(!embedded(&evil).contains('<'));
        let back: String = serde_json::from_str(&embedded(&evil)).unwrap();
        assert_eq!(back, evil);
    }

    #[test]
    fn what_is_put_in_is_not_looked_through_again() {
        assert_eq!(fill("a {{x}} b {{y}}", &[("x", "{{y}}"), ("y", "2")]), "a {{y}} b 2");
    }
}
