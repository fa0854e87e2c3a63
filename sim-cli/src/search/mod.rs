//! What a search found: on one screen, as tables, as scenarios that run, as a picture.

mod document;
mod screen;
mod tables;
mod texts;

pub(crate) use document::SearchDocument;
pub(crate) use screen::screen;
pub(crate) use tables::{designs_csv, front_csv};
pub(crate) use texts::layout_files;

use crate::results::Searched;
use crate::words::demanded;
use sim_core::layouts::{Leaning, PutForward};
use sim_core::scenario::Aim;
use sim_core::units::{Quantity, show};

/// What is aimed at, in words.
fn aim_words(aim: Aim) -> &'static str {
    match aim {
        Aim::Cost => "cost",
        Aim::Measure(measure) => measure.words(),
    }
}

/// A value of `aim` as people read it.
fn aim_value(of: &Searched<'_>, aim: Aim, value: f64) -> String {
    match aim {
        Aim::Cost => format!("{value:.0} {}", of.study.goals.currency).trim_end().to_owned(),
        Aim::Measure(measure) => show(value, measure.quantity(), of.units),
    }
}

/// What a layout is called.
fn called(named: &PutForward) -> String {
    let best = |aim: &Aim| match aim {
        Aim::Cost => "cheapest".to_owned(),
        Aim::Measure(measure) if measure.quantity() == Quantity::Duration => "quickest".into(),
        Aim::Measure(measure) => format!("best {}", measure.words()),
    };
    let mut names: Vec<String> = named.best_of.iter().map(best).collect();
    if named.compromise {
        names.push("best compromise".into());
    }
    names.join(", ")
}

/// A limit, where it is, and what was found.
fn leaning_words(of: &Searched<'_>, leaning: &Leaning) -> String {
    let limit = demanded(&leaning.judged.limit, of.units);
    let case = leaning.corner.map(|at| format!(", corner {}", of.study.goals.corners[at].name));
    let found = match leaning.judged.reached {
        true => show(leaning.judged.value, leaning.judged.limit.measure.quantity(), of.units),
        false => "not reached".to_owned(),
    };
    format!("{limit} in {}{}: {found}", leaning.step, case.unwrap_or_default())
}
