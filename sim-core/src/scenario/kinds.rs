//! What users are shown of each kind of value: on the reference page, in messages, in editors.

use super::spec::{Bounds, Key, Kind, TableSpec};
use super::value::{Data, SectionOrder};
use crate::measures::{Better, Measure};
use crate::units::{Quantity, UnitSystem, parse, show, show_bound, units_of};
use serde_json::{Map, Value, json};

/// A row for each kind of value of `key`: what the reference page calls it, a value as a user would write it, and its
/// JSON Schema. Makes a function of each column; no column needs all that its row's pattern binds, hence what is allowed.
macro_rules! kinds {
    ($key:ident, $units:ident: $($kind:pat => $page:expr, $example:expr, $schema:expr;)+) => {
        /// What the reference page calls the values of `key`.
        #[allow(unused_variables)]
        pub(super) fn on_page($key: &Key) -> String {
            let $units = UnitSystem::Si;
            match $key.kind { $($kind => String::from($page),)+ }
        }

        /// A value of `key` as a user of `units` would write it.
        #[allow(unused_variables)]
        fn value($key: &Key, $units: UnitSystem) -> String {
            match $key.kind { $($kind => String::from($example),)+ }
        }

        /// The values of `key` as a JSON Schema.
        #[allow(unused_variables)]
        fn in_schema($key: &Key) -> Value {
            let $units = UnitSystem::Si;
            match $key.kind { $($kind => $schema,)+ }
        }
    };
}

kinds! { key, units:
    Kind::Text => "text", "\"...\"", text();
    Kind::File => "path", "\"data/file.csv\"", text();
    Kind::Flag => "`true` or `false`", "true", json!({ "type": "boolean" });
    Kind::Number(bounds) => format!("number{}", range(bounds, None)), key.default.unwrap_or("1.5"), number(bounds);
    Kind::Count { most } =>
        format!("whole number, 1 to {most}"), "12", json!({ "type": "integer", "minimum": 1, "maximum": most });
    Kind::Counts { most } =>
        format!("list of whole numbers, 1 to {most}"), "[5, 6, 6, 5]", json!({ "type": "array", "minItems": 1, "items": {
            "type": "integer", "minimum": 1, "maximum": most
        } });
    Kind::Quantity(quantity, bounds) =>
        format!("{}{}", quantity.noun(), range(bounds, Some(quantity))),
        format!("\"{}\"", key.default.map_or_else(|| within(quantity, bounds, units), str::to_owned)),
        value_of(&[quantity]);
    Kind::AnyOf(quantities) =>
        quantities.iter().map(|quantity| quantity.noun()).collect::<Vec<_>>().join(" or "),
        format!("\"{}\"", quantities[0].example(units)), value_of(quantities);
    Kind::Choice(words) =>
        words.iter().map(|word| format!("`\"{word}\"`")).collect::<Vec<_>>().join(", "),
        format!("\"{}\"", words[0]), json!({ "type": "string", "enum": words });
    Kind::Names => "list of names", "[\"one\", \"two\"]", json!({ "type": "array", "items": text() });
    Kind::Losses => "number or list of fittings", "3.5",
        json!({ "type": ["number", "array"], "minimum": 0, "items": text() });
    Kind::Opening => "opening", "\"40 %\"", opening();
    Kind::Openings => "table of openings", "{ return-valve = \"40 %\" }", by_name(opening());
    Kind::Each(quantity, _) => format!("table of {}s", quantity.noun()),
        if quantity == Quantity::Share { "{ pump = \"80 %\" }" } else { "{ return-valve = \"4 s\" }" },
        by_name(value_of(&[quantity]));
    Kind::Contents => "`\"air\"` or share", "\"air\"",
        json!({ "anyOf": [{ "const": "air" }, value_of(&[Quantity::Share])] });
    Kind::Entries => "list of nodes, or table of nodes", "[\"header\"]",
        json!({ "anyOf": [{ "type": "array", "items": text() }, by_name(text())] });
    Kind::SectionOrder => "`\"together\"`, `\"one at a time\"`, or list of parts", "\"one at a time\"",
        json!({ "anyOf": [
            { "enum": ["together", "one at a time"] },
            { "type": "array", "minItems": 1, "items": { "anyOf": [
                text(), { "type": "array", "minItems": 1, "items": text() }
            ] } },
        ] });
    Kind::Points(x, ys) => "list of pairs", format!("[[\"{}\", \"{}\"], ...]", x.example(units), ys[0].example(units)),
        json!({ "type": "array", "items": {
            "type": "array", "prefixItems": [value_of(&[x]), value_of(ys)], "minItems": 2, "maxItems": 2
        } });
    Kind::Pair(quantity) => format!("two of {}", quantity.noun()), "[\"1.5 bar\", \"5 bar\"]",
        json!({ "type": "array", "items": value_of(&[quantity]), "minItems": 2, "maxItems": 2 });
    Kind::Limit(measure) => format!("limit, {}", measure.quantity().noun()), limit_example(measure, units),
        limit(&value_of(&[measure.quantity()]));
    Kind::Table(spec) => "table", required(spec, units), table(spec, true);
    Kind::Override(spec) => "table", required(spec, units), table(spec, false);
    Kind::OneOrMore(spec) => "table, or several", "",
        json!({ "anyOf": [table(spec, true), { "type": "array", "items": table(spec, true) }] });
    Kind::List(spec) => "tables", "", json!({ "type": "array", "items": table(spec, true) });
    Kind::Named(spec) => "named tables", "", by_name(table(spec, true));
    Kind::TableAndNamed(short, long) => "table, and named tables", "", {
        let mut schema = table(short, false);
        schema["additionalProperties"] = table(long, true);
        schema
    };
}

fn text() -> Value {
    json!({ "type": "string" })
}

fn by_name(value: Value) -> Value {
    json!({ "type": "object", "additionalProperties": value })
}

fn limit(value: &Value) -> Value {
    json!({ "anyOf": [
        value,
        { "const": "off" },
        { "type": "object", "additionalProperties": false,
          "anyOf": [{ "required": ["at_most"] }, { "required": ["at_least"] }],
          "properties": { "at_most": value, "at_least": value, "source": text() } },
    ] })
}

/// What a value must keep to, behind what it is.
fn range(bounds: Bounds, quantity: Option<Quantity>) -> String {
    let say = |value: f64| match quantity {
        Some(quantity) if value != 0.0 => show_bound(value, quantity, UnitSystem::Si),
        _ => format!("{value}"),
    };
    bounds.each().map(|bound| format!(", {} {}", bound.sign, say(bound.value))).collect()
}

/// A table of what must be given.
fn required(spec: &TableSpec, units: UnitSystem) -> String {
    let inner: Vec<String> =
        spec.keys().filter(|key| key.required).map(|key| example(key, units)).collect();
    format!("{{ {} }}", inner.join(", "))
}

/// A key with a value as a user of `units` would write it.
pub(super) fn example(key: &Key, units: UnitSystem) -> String {
    let name = key.name;
    match key.kind {
        Kind::List(_) | Kind::OneOrMore(_) => format!("[[{name}]]"),
        Kind::Named(_) | Kind::TableAndNamed(..) => format!("[{name}.NAME]"),
        _ => format!("{name} = {}", value(key, units)),
    }
}

/// The data of a default, which is written as a user would.
pub(super) fn default_data(key: &Key, text: &str) -> Option<Data> {
    match key.kind {
        Kind::Text | Kind::Choice(_) | Kind::File => Some(Data::Text(text.to_owned())),
        Kind::Flag => Some(Data::Flag(text == "true")),
        Kind::Number(_) | Kind::Losses => text.parse().ok().map(Data::Number),
        Kind::Quantity(quantity, _) => {
            parse(text, quantity).ok().map(|number| Data::Of(quantity, number))
        }
        Kind::Opening => Some(Data::Number(if text == "open" { 1.0 } else { 0.0 })),
        Kind::SectionOrder => Some(Data::SectionOrder(SectionOrder::Together)),
        _ => None,
    }
}

/// A value of `quantity` as a user of `units` would write it, within `bounds`.
fn within(quantity: Quantity, bounds: Bounds, units: UnitSystem) -> String {
    let usual = quantity.example(units);
    let most = bounds.most.filter(|most| parse(usual, quantity).is_ok_and(|value| value > *most));
    most.map_or_else(|| usual.to_owned(), |most| show(most, quantity, units))
}

/// A limit on `measure` as a user of `units` would write it.
pub(super) fn limit_example(measure: Measure, units: UnitSystem) -> String {
    let value = limit_value(measure, units);
    match measure.better() {
        Better::Neither => format!("{{ at_least = \"{value}\" }}"),
        _ => format!("\"{value}\""),
    }
}

/// A bound of `measure` as a user of `units` would write it.
pub(super) fn limit_value(measure: Measure, units: UnitSystem) -> &'static str {
    match measure.quantity() {
        Quantity::Duration => "60 s",
        Quantity::Volume if units == UnitSystem::Si => "10 L",
        Quantity::Share => "10 %",
        other => other.example(units),
    }
}

/// The table that `spec` describes as a JSON Schema; without `whole`, nothing in it is required.
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

fn number(bounds: Bounds) -> Value {
    let mut schema = json!({ "type": "number" });
    bounds.each().for_each(|bound| schema[bound.schema] = json!(bound.value));
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
    let examples: Vec<&str> =
        quantities.iter().map(|quantity| quantity.example(UnitSystem::Si)).collect();
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
