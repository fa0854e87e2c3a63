//! The answer in words and figures: what is met, what is not, and the figures that say so.

use crate::columns::{Table, escaped};
use crate::results::{Finished, FinishedStep};
use crate::tables;
use crate::words::{allowed, count_of, limits, place};
use sim_core::findings::{StepFindings, Verdict};
use sim_core::units::{UnitSystem, show};

/// The opening of the report.
pub(super) fn html(finished: &Finished) -> String {
    let units = finished.units;
    let steps: Vec<FinishedStep<'_>> = finished.reported_steps().collect();
    let mut out = verdict(&steps) + "<div class=\"answers\"><div>\n";
    for of in &steps {
        let unmet = of.findings.verdicts.iter().filter(|verdict| !verdict.met);
        let unmet: String = unmet.map(|verdict| missed(verdict, units)).collect();
        let purge = of.findings.purge.as_ref();
        let name = purge.map_or(of.step.name.clone(), tables::purge::title);
        out.push_str(&format!(
            "<article class=\"step\"><h3>{} {}{}</h3><p>{}</p>{}</article>\n",
            escaped(&name),
            badge(of.findings),
            cautions(of.findings.warnings.len()),
            escaped(&tables::answer(of)),
            if unmet.is_empty() { String::new() } else { format!("<ul>{unmet}</ul>") },
        ));
    }
    out + "</div>\n<div>" + &figures(&steps, units) + "</div></div>\n"
}

/// One sentence on all limits of all steps.
fn verdict(steps: &[FinishedStep<'_>]) -> String {
    let verdicts = || steps.iter().flat_map(|of| &of.findings.verdicts);
    let (all, unmet) = (verdicts().count(), verdicts().filter(|verdict| !verdict.met).count());
    let (class, sentence) = match (all, unmet) {
        (0, _) => ("none", "No limit applies to this run.".to_owned()),
        (1, 0) => ("met", "The one limit that applies is met.".to_owned()),
        (2, 0) => ("met", "Both limits are met.".to_owned()),
        (all, 0) => ("met", format!("All {all} limits are met.")),
        (1, _) => ("unmet", "The one limit that applies is not met.".to_owned()),
        (all, 1) => ("unmet", format!("One of {all} limits is not met.")),
        (all, unmet) => ("unmet", format!("{unmet} of {all} limits are not met.")),
    };
    format!("<p class=\"verdict {class}\">{sentence}</p>\n")
}

fn badge(found: &StepFindings) -> String {
    let unmet = found.verdicts.iter().filter(|verdict| !verdict.met).count();
    let (class, text) = match (found.verdicts.len(), unmet) {
        (0, _) => ("none", "no limit applies".to_owned()),
        (all, 0) => ("met", format!("\u{2713} {} met", limits(all))),
        (all, unmet) if unmet == all => ("unmet", format!("\u{2717} {} not met", limits(all))),
        (all, unmet) => ("unmet", format!("\u{2717} {unmet} of {all} limits not met")),
    };
    format!("<span class=\"badge {class}\">{text}</span>")
}

/// Where a step's cautions stand, if it has any.
fn cautions(count: usize) -> String {
    match count {
        0 => String::new(),
        count => {
            format!(" <a class=\"also\" href=\"#cautions\">{}</a>", count_of(count, "caution"))
        }
    }
}

/// A limit that is not met.
fn missed(verdict: &Verdict, units: UnitSystem) -> String {
    let place = Some(place(verdict)).filter(|place| !place.is_empty());
    let place = place.map(|place| format!(" ({place})")).unwrap_or_default();
    let sentence = format!(
        "{}{place}: {} where {}{} is allowed by {}.",
        verdict.measure.words(),
        show(verdict.value, verdict.measure.quantity(), units),
        if verdict.at_least.is_none() { "at most " } else { "" },
        allowed(verdict, units),
        match verdict.source.as_str() {
            "scenario" => "the scenario",
            source => source,
        }
    );
    format!("<li>{}</li>", escaped(&sentence))
}

/// The key figures of the steps beside each other.
fn figures(steps: &[FinishedStep<'_>], units: UnitSystem) -> String {
    tables::figures::tables(steps, units).iter().map(Table::to_html).collect()
}
