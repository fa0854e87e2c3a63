//! Values as a user would write them: defaults, and examples for messages.

use super::spec::{Bounds, Key, Kind};
use super::value::{Data, Order};
use crate::measures::{Better, Measure};
use crate::units::{Quantity, UnitSystem, parse, show};

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
        Kind::Order => Some(Data::Order(Order::Together)),
        _ => None,
    }
}

/// A key with a value as a user would write it.
pub(super) fn example(key: &Key) -> String {
    let name = key.name;
    match key.kind {
        Kind::Quantity(quantity, bounds) => {
            let value = key.default.map_or_else(|| within(quantity, bounds), str::to_owned);
            format!("{name} = \"{value}\"")
        }
        Kind::AnyOf(quantities) => format!("{name} = \"{}\"", quantities[0].example()),
        Kind::Number(_) => format!("{name} = {}", key.default.unwrap_or("1.5")),
        Kind::Losses => format!("{name} = 3.5"),
        Kind::Count { .. } => format!("{name} = 12"),
        Kind::Flag => format!("{name} = true"),
        Kind::Choice(words) => format!("{name} = \"{}\"", words[0]),
        Kind::Names => format!("{name} = [\"one\", \"two\"]"),
        Kind::Opening => format!("{name} = \"40 %\""),
        Kind::Openings => format!("{name} = {{ return-valve = \"40 %\" }}"),
        Kind::Speeds => format!("{name} = {{ pump = \"80 %\" }}"),
        Kind::Durations => format!("{name} = {{ return-valve = \"4 s\" }}"),
        Kind::Points(x, ys) => {
            format!("{name} = [[\"{}\", \"{}\"], ...]", x.example(), ys[0].example())
        }
        Kind::Pair(_) => format!("{name} = [\"1.5 bar\", \"5 bar\"]"),
        Kind::Limit(measure) => format!("{name} = {}", limit_example(measure)),
        Kind::Contents => format!("{name} = \"air\""),
        Kind::Entries => format!("{name} = [\"header\"]"),
        Kind::Order => format!("{name} = \"one at a time\""),
        Kind::File => format!("{name} = \"../demo-data/file.csv\""),
        Kind::Text => format!("{name} = \"...\""),
        Kind::Table(spec) | Kind::Override(spec) => {
            let inner: Vec<String> = spec.keys.iter().filter(|k| k.required).map(example).collect();
            format!("{name} = {{ {} }}", inner.join(", "))
        }
        Kind::List(_) | Kind::OneOrMore(_) => format!("[[{name}]]"),
        Kind::Named(_) | Kind::TableAndNamed(..) => format!("[{name}.NAME]"),
    }
}

/// A value of `quantity` as a user would write it, within `bounds`.
fn within(quantity: Quantity, bounds: Bounds) -> String {
    let usual = quantity.example();
    let most = bounds.most.filter(|most| parse(usual, quantity).is_ok_and(|value| value > *most));
    most.map_or_else(|| usual.to_owned(), |most| show(most, quantity, UnitSystem::Si))
}

/// A limit on `measure` as a user would write it.
pub(super) fn limit_example(measure: Measure) -> String {
    let value = limit_value(measure);
    match measure.better() {
        Better::Neither => format!("{{ at_least = \"{value}\" }}"),
        _ => format!("\"{value}\""),
    }
}

/// A bound of `measure` as a user would write it.
pub(super) fn limit_value(measure: Measure) -> &'static str {
    match measure.quantity() {
        Quantity::Duration => "60 s",
        Quantity::Volume => "10 L",
        Quantity::Share => "10 %",
        other => other.example(),
    }
}
