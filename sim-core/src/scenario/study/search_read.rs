//! Reading what a study looks for.

use super::super::value::{Checked, Name};
use super::super::walk::Walk;
use super::search_model::{Aim, Choices, Corner, SearchGoals, Variable};
use crate::measures::Measure;
use crate::settings::{SettingPath, number_and_rest};
use crate::units::suggestion;

/// Steps of a range where the user says nothing.
const STEPS: usize = 20;
/// Layouts that are judged where the user says nothing: on a machine of 13 variables more of them gained little.
const BUDGET: usize = 640;
/// What the cost is called among aims.
const COST: &str = "cost";
/// Keys that say what a variable can be.
const CHOICES: [&str; 4] = ["values", "between", "of", "order_of"];

/// What the study `top`, whose file has this `text`, looks for.
pub(super) fn goals(top: &Checked, text: &str, walk: &mut Walk) -> SearchGoals {
    let variables: Vec<Variable> =
        top.tables("vary").iter().filter_map(|one| variable(one, walk)).collect();
    for (i, one) in variables.iter().enumerate() {
        if variables[..i].iter().any(|other| other.name == one.name) {
            let message = format!("there are two variables called \"{}\"", one.name);
            walk.fault(one.span.clone(), message, "give one of them another `name`");
        }
    }
    let limits = top.table("limits").map(|table| limits(table, text)).unwrap_or_default();
    let from_catalogue = |one: &&Variable| matches!(one.choices, Choices::Catalogue(_));
    if let Some(first) = variables.iter().find(from_catalogue).filter(|_| !top.has("catalogue")) {
        let message = "`of` names a kind of part, and there is no catalogue";
        walk.fault(first.span.clone(), message, "add `catalogue = \"parts.csv\"`");
    }
    SearchGoals {
        catalogue: top.text("catalogue").map(str::to_owned),
        currency: top.text("currency").unwrap_or_default().to_owned(),
        other_cost: top.number("other_cost").unwrap_or(0.0),
        budget: top.count("budget").unwrap_or(BUDGET),
        aims: aims(top, walk),
        limits,
        variables,
        corners: top.tables("corner").iter().filter_map(|one| corner(one, walk)).collect(),
    }
}

fn aims(top: &Checked, walk: &mut Walk) -> Vec<Aim> {
    let known = || {
        let measures = Measure::ALL.iter().map(|measure| measure.stem());
        std::iter::once(COST).chain(measures)
    };
    let mut aims = Vec::new();
    for name in top.names("aims") {
        let measure = Measure::ALL.iter().find(|measure| measure.stem() == name.text);
        let aim = match measure {
            Some(measure) => Aim::Measure(*measure),
            None if name.text == COST => Aim::Cost,
            None => {
                let list = "Possible: `cost`, and every key of [limits]";
                let help = suggestion(&name.text, known(), '`', list);
                walk.fault(
                    name.span.clone(),
                    format!("`{}` is nothing to aim at", name.text),
                    help,
                );
                continue;
            }
        };
        if aims.contains(&aim) {
            walk.fault(
                name.span.clone(),
                format!("`{}` is aimed at twice", name.text),
                "keep one of them",
            );
        }
        aims.push(aim);
    }
    aims
}

/// The limits that `table` gives, as the file has them.
fn limits(table: &Checked, text: &str) -> Vec<(SettingPath, String)> {
    let given = table.entries.keys().filter(|key| table.gives(key)).filter_map(|key| {
        let path = SettingPath::parse(&format!("limits.{key}")).ok()?;
        let value = path.value(text)?;
        Some((path, value))
    });
    given.collect()
}

/// The setting that `key` of `one` names; `None` where that is at fault.
fn path(one: &Checked, walk: &mut Walk) -> Option<SettingPath> {
    let key = one.text("key")?;
    SettingPath::parse(key)
        .map_err(|why| {
            walk.fault(one.span_of("key"), why.to_string(), "such as `supply.hose.bore`");
        })
        .ok()
}

fn variable(one: &Checked, walk: &mut Walk) -> Option<Variable> {
    let path = path(one, walk)?;
    let given: Vec<&str> = CHOICES.into_iter().filter(|key| one.gives(key)).collect();
    let choices = match given[..] {
        [] => {
            let help = "add one of `values`, `between`, `of` and `order_of`";
            return walk.refuse(
                one.span.clone(),
                "this does not say what the variable can be",
                help,
            );
        }
        [key] => choices(one, key, walk)?,
        [first, second, ..] => {
            let message = format!("`{first}` and `{second}` both say what the variable can be");
            return walk.refuse(one.span_of(second), message, "keep one of them");
        }
    };
    let name = one.text("name").map_or_else(|| path.name(), str::to_owned);
    Some(Variable { name, path, choices, span: one.span.clone() })
}

fn choices(one: &Checked, key: &str, walk: &mut Walk) -> Option<Choices> {
    let texts = |names: &[Name]| -> Vec<String> { names.iter().map(|n| n.text.clone()).collect() };
    let names = one.names(key);
    if let Some(twice) =
        names.iter().enumerate().find(|(i, n)| names[..*i].iter().any(|o| o.text == n.text))
    {
        let name = twice.1;
        return walk.refuse(
            name.span.clone(),
            format!("\"{}\" is there twice", name.text),
            "keep one of them",
        );
    }
    match key {
        "of" => Some(Choices::Catalogue(one.text(key)?.to_owned())),
        "values" | "order_of" if names.len() < 2 => {
            let message = format!("`{key}` takes two or more");
            walk.refuse(one.span_of(key), message, "with one there is nothing to choose")
        }
        "values" => Some(Choices::Values(texts(names))),
        "order_of" if names.len() > 12 => walk.refuse(
            one.span_of(key),
            "more than twelve have too many orders",
            "group some of them",
        ),
        "order_of" => Some(Choices::Orders(texts(names))),
        _ => {
            let ends = match names {
                [low, high] => number_and_rest(&low.text).zip(number_and_rest(&high.text)),
                _ => None,
            };
            match ends {
                Some(((low, unit), (high, same))) if low < high && unit == same => {
                    let steps = one.count("steps").unwrap_or(STEPS);
                    Some(Choices::Range(low, high, steps, unit))
                }
                _ => {
                    let message = "`between` takes two numbers with the same unit, the lower first";
                    walk.refuse(
                        one.span_of(key),
                        message,
                        "such as `between = [\"2 bar\", \"4 bar\"]`",
                    )
                }
            }
        }
    }
}

fn corner(one: &Checked, walk: &mut Walk) -> Option<Corner> {
    let mut settings = Vec::new();
    for line in one.names("set") {
        let parts = line.text.split_once('=');
        let setting = parts.and_then(|(key, value)| {
            let value = value.trim();
            let path = SettingPath::parse(key).ok()?;
            (!value.is_empty()).then(|| (path, value.to_owned()))
        });
        match setting {
            Some(setting) => settings.push(setting),
            None => {
                let help = "such as \"travel.speed = 14 km/h\"";
                walk.fault(line.span.clone(), format!("\"{}\" sets nothing", line.text), help);
            }
        }
    }
    if one.has("set") && one.names("set").is_empty() {
        walk.fault(one.span_of("set"), "this corner is the scenario itself", "set something in it");
    }
    let whole = one.flag("whole").unwrap_or(false);
    Some(Corner { name: one.text("name")?.to_owned(), settings, whole, span: one.span.clone() })
}
