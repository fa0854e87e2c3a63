//! Writes what the study found into its page.

use crate::outcome::Outcome;
use crate::study::{Results, share};
use sim_core::diagnosis::FaultKind;
use std::fmt::Write as _;

const BEGIN: &str = "<!-- study: written by the command above -->\n";
const END: &str = "<!-- end of study -->\n";

/// Puts the tables into `docs/diagnosing.md` where MILLSTREAM_REWRITE is set; prints them.
pub(crate) fn write(results: &[Results], off_model: &Results) -> Result<(), String> {
    let mut text = summary(results, off_model);
    for results in results {
        text.push_str(&confusion(results));
    }
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

fn summary(results: &[Results], off_model: &Results) -> String {
    let mut text = String::from("\n| | target | ");
    let noises = results.iter().map(|r| format!("{:.0} % noise", 100.0 * r.noise));
    text.push_str(&noises.collect::<Vec<_>>().join(" | "));
    text.push_str(" |\n| --- | --- | --- | --- |\n");
    let mut row = |name: &str, target: &str, value: &dyn Fn(&Results) -> String| {
        let values: Vec<String> = results.iter().map(value).collect();
        // Writing to a String cannot fail.
        let _ = writeln!(text, "| {name} | {target} | {} |", values.join(" | "));
    };
    row("faults", "300", &|r| r.faulty.len().to_string());
    row("first, alone or tied", "90 %, 80 %", &|r| percent(share(&r.faulty, |o| o.first(0))));
    row("first by score alone, ties not counted", "", &|r| {
        percent(share(&r.faulty, |o| o.leads_truly))
    });
    row(
        "explanations in the leading tie, pairs that hold one of them counted too, mean",
        "",
        &|r| {
            let all: usize = r.faulty.iter().map(|o| o.tied).sum();
            format!("{:.1}", all as f64 / r.faulty.len() as f64)
        },
    );
    row("among the first three", "97 %", &|r| percent(share(&r.faulty, Outcome::among_three)));
    for further in 1..=3 {
        let name = format!("first after {further} more");
        let target = if further == 3 { "97 %" } else { "" };
        row(&name, target, &|r| percent(share(&r.faulty, |o| o.first(further))));
    }
    row("healthy machines", "", &|r| r.healthy.len().to_string());
    row("no fault called at them", "95 %", &|r| percent(share(&r.healthy, |o| o.leads.is_empty())));
    row("machines with two faults", "", &|r| r.pairs.len().to_string());
    row("the true pair first, alone or tied", "", &|r| percent(share(&r.pairs, |o| o.first(0))));
    row("the true pair first after 3 more", "", &|r| percent(share(&r.pairs, |o| o.first(3))));
    let _ = writeln!(
        text,
        "\nWith machines that differ from their scenario (roughness 1.5 times, loss coefficients 1.3 times what it says) at \
         {:.0} % noise, the model being trusted to 1 %: of {} faults {} first, {} among the first three; no fault called at {} \
         of {} healthy ones.",
        100.0 * off_model.noise,
        off_model.faulty.len(),
        percent(share(&off_model.faulty, |o| o.first(0))),
        percent(share(&off_model.faulty, Outcome::among_three)),
        percent(share(&off_model.healthy, |o| o.leads.is_empty())),
        off_model.healthy.len()
    );
    text
}

/// True kinds down, leading kinds across; ties count as the leading one.
fn confusion(results: &Results) -> String {
    let kinds: Vec<FaultKind> = FaultKind::ALL
        .into_iter()
        .filter(|kind| results.faulty.iter().any(|o| o.truth[0] == *kind || o.leads.contains(kind)))
        .collect();
    let mut text = format!(
        "\nConfusion at {:.0} % noise: true kind down, kind of the leading explanation across (`none`: no fault called; `two`: a \
         pair; a kind counts where its place is wrong too); `found`: first, alone or tied, with its place.\n\n| true |",
        100.0 * results.noise
    );
    for kind in &kinds {
        let _ = write!(text, " {} |", short(*kind));
    }
    text.push_str(" none | two | cases | found |\n|");
    text.push_str(&" --- |".repeat(kinds.len() + 5));
    text.push('\n');
    for kind in &kinds {
        let of_kind: Vec<Outcome> =
            results.faulty.iter().filter(|o| o.truth[0] == *kind).cloned().collect();
        if of_kind.is_empty() {
            continue;
        }
        let count = |holds: &dyn Fn(&Outcome) -> bool| {
            let count = of_kind.iter().filter(|o| holds(o)).count();
            if count == 0 { String::new() } else { count.to_string() }
        };
        let _ = write!(text, "| {} |", short(*kind));
        for lead in &kinds {
            let _ = write!(text, " {} |", count(&|o| o.leads[..] == [*lead]));
        }
        let _ = writeln!(
            text,
            " {} | {} | {} | {} |",
            count(&|o| o.leads.is_empty()),
            count(&|o| o.leads.len() > 1),
            of_kind.len(),
            count(&|o| o.first(0))
        );
    }
    text
}

fn short(kind: FaultKind) -> &'static str {
    use FaultKind as K;
    match kind {
        K::StrainerPlugged => "strainer",
        K::HoseKinked => "kink",
        K::ValvePartOpen => "valve",
        K::HoseOtherBore => "bore",
        K::SectionWorn => "section worn",
        K::BoomWorn => "boom worn",
        K::TipWrong => "tip",
        K::TipUncaught => "tip not caught",
        K::TipStrainerMissing => "tip strainer",
        K::CheckStuck => "check",
        K::PumpSlow => "slow",
        K::PumpWorn => "pump worn",
        K::ValvePasses => "passing",
        K::AirAtSuction => "air",
        K::GaugeOff => "gauge",
        K::MeterOff => "meter",
    }
}
