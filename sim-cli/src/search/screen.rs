//! What a search found, on one screen.

use super::{aim_value, aim_words, called, leaning_words};
use crate::columns::{Columns, broken};
use crate::results::Searched;
use crate::words::{AIR_CAUTION, CAUTION, PURGE_IS_UNCERTAIN, chance_words};
use sim_core::layouts::PutForward;
use sim_core::measures::Measure;
use sim_core::scenario::Aim;
use std::fmt::Write as _;

/// Layouts that have a row.
const MOST_LAYOUTS: usize = 8;
/// Limits that stand in the way and have a line.
const MOST_OBSTACLES: usize = 5;

/// What `of` came to, in lines of `width` columns.
pub(crate) fn screen(of: &Searched<'_>, width: usize) -> String {
    let mut out = broken(&of.study.title, "", width);
    out.push_str(&broken(&counts(of), "", width));
    if of.found.front.is_empty() {
        out.push_str(&obstacles(of, width));
    } else {
        let named: Vec<&PutForward> = of.found.named.iter().take(MOST_LAYOUTS).collect();
        out.push_str(&format!("\n{}", aims(of).table("", &named, of.units).bare(width)));
        out.push_str(&variables(of, &named, width));
        out.push_str(&cautions(of, &named, width));
    }
    out.push('\n');
    let purges = of.study.goals.aims.contains(&Aim::Measure(Measure::PurgeResidual));
    let air = purges.then_some([PURGE_IS_UNCERTAIN, AIR_CAUTION]).into_iter().flatten();
    let counts = "A search is only as good as its limits and prices: check a layout by itself, at the corners of its use, before \
                  anything is bought.";
    for text in std::iter::once(counts).chain(air).chain([CAUTION]) {
        out.push_str(&broken(&format!("- {text}"), "  ", width));
    }
    out
}

/// How many were looked at and what became of them.
fn counts(of: &Searched<'_>) -> String {
    let judged = of.found.judged.len();
    let kept = of.found.judged.iter().filter(|(_, layout)| layout.violation <= 0.0).count();
    let all = match of.all {
        Some(all) if all == judged => format!("all {all} layouts"),
        Some(all) => format!("{judged} of {all} layouts (seed {})", of.seed),
        None => format!("{judged} layouts (seed {})", of.seed),
    };
    let ended = if of.ended { "Ended early. " } else { "" };
    format!(
        "{ended}Judged {all}: {kept} keep every limit, {} of them are beaten by no other.",
        of.found.front.len()
    )
}

/// A row a layout: what is aimed at.
fn aims<'a>(of: &'a Searched<'_>) -> Columns<'a, &'a PutForward> {
    let number = |named: &&PutForward| format!("{}", of.place_of(named) + 1);
    let mut columns =
        Columns::new().text("", number).words("layout", |named: &&PutForward| called(named));
    for aim in &of.study.goals.aims {
        columns = columns.text(aim_words(*aim), move |named: &&PutForward| {
            of.found.judged[named.index].1.aim(*aim).map(|value| aim_value(of, *aim, value))
        });
    }
    if !of.chances.is_empty() {
        columns = columns
            .text("keeps limits", |named: &&PutForward| {
                of.chance_of(named).map(|chance| chance_words(chance.all).0)
            })
            .or("");
    }
    columns.words("leans on", |named: &&PutForward| {
        let leaning = named.leans_on.as_ref()?;
        let left = (-100.0 * leaning.over).max(0.0);
        Some(format!("{}, {left:.0} % left", leaning.judged.limit.measure.words()))
    })
}

/// What each layout is made of.
fn variables(of: &Searched<'_>, named: &[&PutForward], width: usize) -> String {
    let variables: Vec<usize> = (0..of.study.goals.variables.len()).collect();
    let mut columns =
        Columns::new().words("", |at: &usize| of.study.goals.variables[*at].name.clone());
    for one in named {
        let head = format!("{}", of.place_of(one) + 1);
        let design = &of.found.judged[one.index].0;
        columns = columns.text(&head, move |at: &usize| {
            let end = one.cautions.iter().any(|caution| caution.variable == *at);
            format!("{}{}", of.layouts.words(design, *at), if end { " *" } else { "" })
        });
    }
    format!("\n{}", columns.table("", &variables, of.units).bare(width))
}

fn cautions(of: &Searched<'_>, named: &[&PutForward], width: usize) -> String {
    let mut out = String::new();
    if named.iter().any(|one| !one.cautions.is_empty()) {
        out.push_str(&broken(
            "* at an end of what was offered: more might be better still.",
            "",
            width,
        ));
    }
    let more = of.found.named.len().saturating_sub(named.len());
    if more > 0 {
        out.push_str(&format!("and {more} more layouts in front.csv\n"));
    }
    out
}

/// What stands in the way of every layout.
fn obstacles(of: &Searched<'_>, width: usize) -> String {
    let mut out = String::from("\nNo layout keeps every limit. What stands in the way:\n");
    for obstacle in of.found.obstacles.iter().take(MOST_OBSTACLES) {
        let mut line = format!("{} of {} break it: ", obstacle.broken, obstacle.of);
        // Writing to a String cannot fail.
        let _ = write!(line, "{} at best", leaning_words(of, &obstacle.nearest));
        if !obstacle.nearest.judged.met {
            let _ = write!(line, ", {:.0} % beyond", 100.0 * obstacle.nearest.over);
        }
        out.push_str(&broken(&format!("- {line}"), "  ", width));
    }
    if of.found.obstacles.is_empty() {
        out.push_str(&broken(
            "- No layout gives a result to trust, or reaches what is aimed at.",
            "  ",
            width,
        ));
    }
    out
}
