//! What is to be found out about a machine beyond one run?

mod catalogue;
mod model;
mod page;
mod search_model;
mod search_read;
mod spec;

pub use catalogue::{CatalogueEntry, read_catalogue};
pub use model::{DefaultInput, Study, StudyInput, StudySpread, UncertainSetting};
pub use page::{study_reference, study_schema};
pub use search_model::{Aim, Choices, Corner, SearchGoals, Variable};

use super::fault::{InputFault, in_order};
use super::tree::parse;
use super::value::Checked;
use super::walk::{Mode, Walk};
use crate::settings::SettingPath;

/// Reads the study in `text`.
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read_study(text: &str) -> Result<Study, Vec<InputFault>> {
    let mut walk = Walk::default();
    let checked = parse(text, &mut walk)
        .map(|(table, span)| walk.table(table.get_ref(), span, &spec::STUDY, Mode::Whole));
    let study = checked.map(|top| study(&top, text, &mut walk));
    match study {
        Some(study) if walk.faults.is_empty() => Ok(study),
        _ => Err(in_order(walk.faults)),
    }
}

fn study(top: &Checked, text: &str, walk: &mut Walk) -> Study {
    let uncertain = top.tables("uncertain").iter().filter_map(|one| uncertain(one, walk)).collect();
    Study {
        title: top.text("title").unwrap_or_default().to_owned(),
        base: top.text("base").map(str::to_owned),
        uncertain,
        draws: top.count("draws").map(|draws| draws as u32),
        seed: top.count("seed").unwrap_or(1) as u32,
        goals: search_read::goals(top, text, walk),
    }
}

/// Keys that say how far an input may be off.
const SPREADS: [&str; 5] = ["within", "normal", "factor", "between", "known"];

/// `None` where something is wrong with it, which is a fault then.
fn uncertain(one: &Checked, walk: &mut Walk) -> Option<UncertainSetting> {
    let input = match (one.text("input"), one.text("key")) {
        (Some(input), None) => StudyInput::Default(DefaultInput::named(input)?),
        (None, Some(key)) => match SettingPath::parse(key) {
            Ok(path) => StudyInput::Setting(path),
            Err(why) => {
                let help = "such as `supply.hose.bore`";
                return walk.refuse(one.span_of("key"), why.to_string(), help);
            }
        },
        (Some(_), Some(_)) => {
            let message = "`input` and `key` both say which input this is";
            return walk.refuse(one.span_of("key"), message, "keep one of them");
        }
        (None, None) => {
            let help = "add `input = \"hose_losses\"`, or `key` with a setting";
            return walk.refuse(
                one.span.clone(),
                "this says of no input how far it may be off",
                help,
            );
        }
    };
    let given: Vec<&str> = SPREADS.into_iter().filter(|key| one.gives(key)).collect();
    let spread = match given[..] {
        [] => {
            let help = "add one of `within`, `normal`, `factor`, `between` and `known`";
            let message = "this does not say how far the input may be off";
            return walk.refuse(one.span.clone(), message, help);
        }
        [key] => spread(one, key, walk)?,
        [first, second, ..] => {
            let message = format!("`{first}` and `{second}` both say how far the input may be off");
            return walk.refuse(one.span_of(second), message, "keep one of them");
        }
    };
    if let (StudyInput::Default(_), StudySpread::Between(..)) = (&input, &spread) {
        let help = "write `within`, `normal` or `factor`; `between` is for a `key`";
        let message = "this input belongs to many parts at once and has no one value";
        return walk.refuse(one.span_of("between"), message, help);
    }
    Some(UncertainSetting { input, spread, span: one.span.clone() })
}

fn spread(one: &Checked, key: &str, walk: &mut Walk) -> Option<StudySpread> {
    Some(match key {
        "within" => StudySpread::Within(one.number(key)?),
        "normal" => StudySpread::Normal(one.number(key)?),
        "factor" => StudySpread::Factor(one.number(key)?),
        "between" => match one.names(key) {
            [low, high] => StudySpread::Between(low.text.clone(), high.text.clone()),
            _ => {
                let help = "such as `between = [\"24 mm\", \"26 mm\"]`";
                return walk.refuse(one.span_of(key), "`between` takes two values", help);
            }
        },
        _ if one.flag(key)? => StudySpread::Known,
        _ => {
            let help = "write `known = true`, or say how far it may be off";
            return walk.refuse(
                one.span_of(key),
                "this does not say how far the input may be off",
                help,
            );
        }
    })
}
