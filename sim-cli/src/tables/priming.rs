//! When is new liquid at every tip?

use super::page::Page;
use crate::columns::Columns;
use sim_core::findings::{Outcome, Priming, SectionPriming, StepFindings};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Sections listed before the rest is left to the files.
const MOST_ROWS: usize = 24;

pub(super) fn table(out: &mut Page, findings: &StepFindings, units: UnitSystem) {
    let Some(priming) = findings.priming.as_ref().filter(|priming| priming.new_liquid) else {
        return;
    };
    let columns = Columns::new()
        .words("section", |s: &SectionPriming| s.section.to_string())
        .each("first tip full", Q::Duration, |s| s.first_s)
        .or("not yet")
        .each("middle tip full", Q::Duration, |s| s.median_s)
        .or("not yet")
        .each("last tip full", Q::Duration, |s| s.last_s)
        .or("not yet");
    out.table(columns.table("New liquid", priming.sections.iter().take(MOST_ROWS), units));
    out.paragraph(dead_legs(priming, units));
    out.paragraph(MODEL);
}

const MODEL: &str = "Model of fronts: complete mixing at nodes; turbulent dispersion as measured in smooth \
    pipes, good to 25 to 50 %; laminar lines keep their parabolic profile up to the next node; exchange with dead legs is an assumption good to several times.";

/// The step in a few sentences.
pub(super) fn answer(
    priming: &Priming,
    outcome: &Outcome,
    currency: &str,
    units: UnitSystem,
) -> Vec<String> {
    let lasted = show(outcome.lasted_s, Q::Duration, units);
    if !priming.new_liquid {
        return vec!["Every tip has full strength from the start.".into()];
    }
    let mut sentences = vec![match priming.all_full_s {
        Some(time) => format!(
            "Every tip has full strength after {} of {lasted}.",
            show(time, Q::Duration, units)
        ),
        None => format!("Not every tip has full strength within {lasted}."),
    }];
    if outcome.sprayed_m3 > 0.0 {
        let distance = priming.under_dosed_distance_m;
        let distance = distance.map(|m| format!(", over {} of travel", show(m, Q::Length, units)));
        sentences.push(format!(
            "{} of {} sprayed are below full strength{}.",
            show(priming.under_dosed_m3, Q::Volume, units),
            show(outcome.sprayed_m3, Q::Volume, units),
            distance.unwrap_or_default()
        ));
        if let Some(price) = priming.under_dosed_price {
            sentences.push(
                format!("The product in it is worth {price:.2} {currency}.").replace(" .", "."),
            );
        }
    }
    if let Some(turnover) = priming.turnover_s {
        let turnover = show(turnover, Q::Duration, units);
        sentences.push(format!("The moving lines turn over in {turnover}."));
    }
    sentences
}

fn dead_legs(priming: &Priming, units: UnitSystem) -> String {
    let legs = &priming.dead_legs;
    let Some(largest) = legs.first() else {
        return "No dead leg.".to_owned();
    };
    let volume: f64 = legs.iter().map(|leg| leg.volume_m3).sum();
    let held: f64 = legs.iter().map(|leg| leg.volume_m3 * leg.concentration).sum();
    format!(
        "{} dead legs hold {} (the largest {:.1} bores long); their concentration is {:.0} % when the step \
         ends.",
        legs.len(),
        show(volume, Q::Volume, units),
        largest.length_bores,
        100.0 * held / volume
    )
}
