//! When is new liquid at every tip?

use super::{Page, Piece};
use crate::columns::{Columns, Table};
use crate::results::FinishedStep;
use crate::words::count_of;
use sim_core::findings::{Named, Outcome, Priming, SectionPriming, TipPriming};
use sim_core::plumbing::SectionId;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Sections listed before the rest is left to the files.
const MOST_ROWS: usize = 24;

pub(super) fn table(out: &mut Page, of: &FinishedStep<'_>) {
    let priming = of.findings.priming.as_ref().filter(|priming| priming.new_liquid);
    let Some(priming) = priming else { return };
    let columns = Columns::new()
        .words("section", |s: &SectionPriming| s.section.to_string())
        .each("first tip full", Q::Duration, |s| s.first_s)
        .or("not yet")
        .each("middle tip full", Q::Duration, |s| s.median_s)
        .or("not yet")
        .each("last tip full", Q::Duration, |s| s.last_s)
        .or("not yet");
    let sections = priming.sections.iter().take(MOST_ROWS);
    let title = "New liquid, times from the start of the step";
    out.piece(Piece::Priming, columns.table(title, sections, of.units));
    out.piece(Piece::Priming, under_dosed(of, priming));
    out.paragraph(dead_legs(priming, of.units));
    out.paragraph(MODEL);
}

/// Which sections sprayed below full strength, and where most.
fn under_dosed(of: &FinishedStep<'_>, priming: &Priming) -> Table {
    let tips = || of.plumbing().tips.iter().zip(&priming.tips);
    let row = |section: &SectionPriming| {
        let own = tips().filter(|(tip, _)| tip.section == Some(section.section.id));
        let own: Vec<&TipPriming> = own.map(|(_, tip)| tip).collect();
        let most = TipPriming::most_under_dosed(own.iter().copied())?;
        let all_m3: f64 = own.iter().map(|tip| tip.under_dosed_m3).sum();
        (all_m3 > 0.0).then(|| (section.section.clone(), all_m3, most))
    };
    Columns::new()
        .words("section", |(section, _, _): &(Named<SectionId>, f64, &TipPriming)| {
            section.to_string()
        })
        .each("below full strength", Q::Volume, |(_, m3, _)| *m3)
        .each("of the whole boom's", Q::Share, |(_, m3, _)| m3 / priming.under_dosed_m3)
        .text("most at tip", |(_, _, most)| most.tip.to_string())
        .each("there", Q::Volume, |(_, _, most)| most.under_dosed_m3)
        .table("Under-dosed", priming.sections.iter().filter_map(row), of.units)
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
            "Every tip has full strength {} after the step began, which lasts {lasted}.",
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
        "{} {} {} (the largest {:.1} bores long); {} concentration is {:.0} % when the step ends.",
        count_of(legs.len(), "dead leg"),
        if legs.len() == 1 { "holds" } else { "hold" },
        show(volume, Q::Volume, units),
        largest.length_bores,
        if legs.len() == 1 { "its" } else { "their" },
        100.0 * held / volume
    )
}
