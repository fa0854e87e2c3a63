//! Layouts as tables for spreadsheets.

use super::{aim_value, called, leaning_words};
use crate::results::Searched;
use sim_core::layouts::Stage;
use sim_core::scenario::{Aim, for_spreadsheets};
use sim_core::units::display_unit;

/// `front.csv`: the layouts that are put forward.
pub(crate) fn front_csv(of: &Searched<'_>) -> String {
    let mut head = vec!["layout".to_owned(), "file".into(), "called".into()];
    head.extend(heads(of));
    head.extend(["leans on".into(), "left of it %".into(), "at an end of what was offered".into()]);
    let rows = of.found.named.iter().map(|named| {
        let place = of.place_of(named);
        let mut row = vec![(place + 1).to_string(), of.file_name(place), called(named)];
        row.extend(cells(of, named.index));
        let leans = named.leans_on.as_ref();
        row.push(leans.map(|leaning| leaning_words(of, leaning)).unwrap_or_default());
        row.push(leans.map(|leaning| format!("{:.1}", -100.0 * leaning.over)).unwrap_or_default());
        let ends =
            named.cautions.iter().map(|c| of.study.goals.variables[c.variable].name.as_str());
        row.push(ends.collect::<Vec<_>>().join("; "));
        row
    });
    csv(head, rows)
}

/// `designs.csv`: every layout that was judged, in that order.
pub(crate) fn designs_csv(of: &Searched<'_>) -> String {
    let mut head = vec!["number".to_owned(), "keeps every limit".into(), "followed to".into()];
    head.extend(heads(of));
    head.push("breaks most".into());
    let rows = of.found.judged.iter().enumerate().map(|(at, (_, layout))| {
        let stage = match layout.stage {
            Stage::Impossible => "no result to trust",
            Stage::Steady => "states of flow",
            Stage::Liquid => "steps before the purge",
            Stage::Whole => "the end",
        };
        let keeps = if layout.violation <= 0.0 { "yes" } else { "no" };
        let mut row = vec![(at + 1).to_string(), keeps.into(), stage.into()];
        row.extend(cells(of, at));
        let broken = layout.limits.first().filter(|leaning| !leaning.judged.met);
        row.push(broken.map(|leaning| leaning_words(of, leaning)).unwrap_or_default());
        row
    });
    csv(head, rows)
}

/// Heads of what is aimed at, with units, and of variables.
fn heads(of: &Searched<'_>) -> Vec<String> {
    let aims = of.study.goals.aims.iter().map(|aim| match aim {
        Aim::Cost => format!("cost {}", of.study.goals.currency).trim_end().to_owned(),
        Aim::Measure(measure) => {
            format!("{} {}", measure.words(), display_unit(measure.quantity(), of.units).symbol)
        }
    });
    aims.chain(of.study.goals.variables.iter().map(|variable| variable.name.clone())).collect()
}

/// What layout number `index` has of each.
fn cells(of: &Searched<'_>, index: usize) -> Vec<String> {
    let (design, layout) = &of.found.judged[index];
    let aims = of.study.goals.aims.iter().map(|aim| {
        let value = layout.aim(*aim);
        let value = value.map(|value| match aim {
            Aim::Cost => format!("{value:.2}"),
            Aim::Measure(measure) => {
                format!("{:.6}", display_unit(measure.quantity(), of.units).from_si(value))
            }
        });
        value.unwrap_or_default()
    });
    let variables = (0..design.len()).map(|at| of.layouts.words(design, at));
    aims.chain(variables).collect()
}

fn csv(head: Vec<String>, rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in std::iter::once(head).chain(rows) {
        // Into memory: there is nothing that could fail.
        let _ = writer.write_record(row.iter().map(|cell| for_spreadsheets(cell).into_owned()));
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

/// What is aimed at of layout number `index`, in words, for the head of its scenario.
pub(super) fn aims_in_words(of: &Searched<'_>, index: usize) -> String {
    let layout = &of.found.judged[index].1;
    let words = of.study.goals.aims.iter().filter_map(|aim| {
        Some(format!("{} {}", super::aim_words(*aim), aim_value(of, *aim, layout.aim(*aim)?)))
    });
    words.collect::<Vec<_>>().join(", ")
}
