//! Writes what the study found into its page.

use crate::outcome::Outcome;
use crate::study::{Results, share};
use sim_core::diagnosis::{FaultKind, KIND_PRIORS};
use std::fmt::Write as _;

const BEGIN: &str = "<!-- study: written by the command above -->\n";
const END: &str = "<!-- end of study -->\n";
/// Edges of the bins of the reliability table.
pub(crate) const BINS: [(f64, f64); 6] =
    [(0.0, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 0.8), (0.8, 0.9), (0.9, 1.01)];

/// Puts the tables into `docs/diagnosing.md` where MILLSTREAM_REWRITE is set; prints them.
pub(crate) fn write(results: &Results) -> Result<(), String> {
    let text = summary(results) + &reliability(results) + &outside(results) + &by_kind(results);
    eprintln!("{text}");
    if std::env::var_os("MILLSTREAM_REWRITE").is_none() {
        return Ok(());
    }
    let path = checks::root().join("docs/diagnosing.md");
    let page = std::fs::read_to_string(&path).map_err(|error| error.to_string())?;
    let (before, rest) = page.split_once(BEGIN).ok_or("the page has no place for the study")?;
    let (_, after) = rest.split_once(END).ok_or("the page has no end of the study")?;
    let page = format!("{before}{BEGIN}{text}{END}{after}");
    std::fs::write(path, page).map_err(|error| error.to_string())
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

fn summary(results: &Results) -> String {
    let mut text = String::from("\n| | goal | found |\n| --- | --- | --- |\n");
    let mut row = |name: &str, goal: &str, value: String| {
        // Writing to a String cannot fail.
        let _ = writeln!(text, "| {name} | {goal} | {value} |");
    };
    let clear = || results.faulty.iter().filter(|o| o.clear);
    let shown = || results.faulty.iter().filter(|o| o.shows);
    row("machines with one fault", "", results.faulty.len().to_string());
    row("of these, the readings show it", "", shown().count().to_string());
    row("clear ones: a reading moves by 5 % or more", "", clear().count().to_string());
    row("clear ones: in the leading group", "90 %", percent(share(clear(), |o| o.first(0))));
    row("in one of the first three", "97 %", percent(share(clear(), Outcome::among_three)));
    for further in 1..=3 {
        let goal = if further == 2 { "97 %" } else { "" };
        let name = format!("leading after {further} advised readings");
        row(&name, goal, percent(share(clear(), |o| o.first(further))));
    }
    row("all that show: in the leading group", "", percent(share(shown(), |o| o.first(0))));
    let tied: usize = clear().map(|o| o.tied).sum();
    let tied = tied as f64 / clear().count().max(1) as f64;
    row("explanations in the leading group, mean", "", format!("{tied:.1}"));
    row("healthy machines", "", results.healthy.len().to_string());
    row("no fault leads at them", "", percent(share(&results.healthy, |o| o.first(0))));
    row("machines with two faults", "", results.pairs.len().to_string());
    for further in 0..=3 {
        let goal = if further == 3 { "80 %" } else { "" };
        let name = format!("the true pair leading after {further} advised readings");
        row(&name, goal, percent(share(&results.pairs, |o| o.first(further))));
    }
    let row_of = confident_errors(results);
    row("answers over 90 % sure and wrong, of all", "below 1 %", percent(row_of));
    for (class, outcomes) in [
        ("healthy machines", &results.healthy),
        ("machines with one fault", &results.faulty),
        ("machines with two faults", &results.pairs),
        ("what no catalogue holds", &results.outside),
    ] {
        let wrong = |o: &Outcome| o.said().0 > 0.9 && !o.said().1;
        row(&format!("of {class}"), "", percent(share(outcomes, wrong)));
    }
    text
}

/// Share of all answers that are over 90 % sure and wrong, classes weighted as they are beforehand.
pub(crate) fn confident_errors(results: &Results) -> f64 {
    let all = results.weighted();
    let wrong = all.iter().filter(|(_, o)| o.said().0 > 0.9 && !o.said().1);
    wrong.map(|(weight, _)| weight).sum::<f64>() / all.iter().map(|(weight, _)| weight).sum::<f64>()
}

/// Of each bin: how many answers, how sure they are on average, how often they are right.
pub(crate) fn bins(results: &Results) -> Vec<(usize, f64, f64)> {
    let all = results.weighted();
    let of_bin = |(low, high): (f64, f64)| {
        let inside = |(_, o): &&(f64, &Outcome)| o.said().0 >= low && o.said().0 < high;
        let weight: f64 = all.iter().filter(inside).map(|(weight, _)| weight).sum();
        let said: f64 = all.iter().filter(inside).map(|(weight, o)| weight * o.said().0).sum();
        let right = all.iter().filter(inside).filter(|(_, o)| o.said().1);
        let right: f64 = right.map(|(weight, _)| weight).sum();
        (all.iter().filter(inside).count(), said / weight, right / weight)
    };
    BINS.into_iter().map(of_bin).collect()
}

fn reliability(results: &Results) -> String {
    let mut text = String::from(
        "\nSaid against right: probability of the leading group, and how often it held the truth (healthy machines, one fault, \
         two faults and what no catalogue holds weighted as 50 : 40 : 5 : 5).\n\n\
         | said | answers | said, mean | right |\n| --- | --- | --- | --- |\n",
    );
    for ((low, high), (count, said, right)) in BINS.into_iter().zip(bins(results)) {
        let (low, high) = (100.0 * low, (100.0 * high).min(100.0));
        if count > 0 {
            let _ = writeln!(
                text,
                "| {low:.0} to {high:.0} % | {count} | {} | {} |",
                percent(said),
                percent(right)
            );
        }
    }
    text
}

fn outside(results: &Results) -> String {
    let mut text = String::from(
        "\n| what no catalogue holds | cases | a fault or none over 90 % sure | over 80 % | something else leads |\n\
         | --- | --- | --- | --- | --- |\n",
    );
    let mut kinds: Vec<&str> = results.outside.iter().filter_map(|o| o.outside).collect();
    kinds.sort_unstable();
    kinds.dedup();
    for kind in kinds {
        let of = || results.outside.iter().filter(|o| o.outside == Some(kind));
        let count = |holds: &dyn Fn(&Outcome) -> bool| of().filter(|o| holds(o)).count();
        let _ = writeln!(
            text,
            "| {kind} | {} | {} | {} | {} |",
            of().count(),
            count(&|o| o.groups[0].0 > 0.9),
            count(&|o| o.groups[0].0 > 0.8),
            count(&|o| o.something_else > o.groups[0].0)
        );
    }
    text
}

/// Found by kind.
fn by_kind(results: &Results) -> String {
    let mut text = String::from(
        "\n| kind | cases | clear | clear and leading | of these after two more | wrong leads |\n| --- | --- | --- | --- | --- | --- |\n",
    );
    for kind in KIND_PRIORS.iter().map(|prior| prior.kind) {
        let of = || results.faulty.iter().filter(|o| o.truth[0] == kind);
        if of().next().is_none() {
            continue;
        }
        let clear = || of().filter(|o| o.clear);
        let mut wrong: Vec<String> = clear()
            .filter(|o| !o.first(0))
            .map(|o| match &o.leads[..] {
                [] => "none".to_owned(),
                leads => leads.iter().map(|k| k.name()).collect::<Vec<_>>().join("+"),
            })
            .collect();
        wrong.sort();
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} | {} | {} |",
            name(kind),
            of().count(),
            clear().count(),
            clear().filter(|o| o.first(0)).count(),
            clear().filter(|o| o.first(2)).count(),
            wrong.join(", ")
        );
    }
    text
}

fn name(kind: FaultKind) -> String {
    kind.name().replace('_', " ")
}
