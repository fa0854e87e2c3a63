//! What compressed air returned, and how an empty boom filled.

use super::{Page, Piece};
use crate::columns::{Columns, Table};
use crate::results::FinishedStep;
use crate::words::count_of;
use sim_core::findings::{
    Breakthrough, Filling, LineAir, NodePressure, Purge, RanBack, RatingUse, ReceiverFinding,
    Residual, SectionFilling,
};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Lines listed before the rest is added up.
const MOST_LINES: usize = 12;

const MODEL: &str = "Model of the purge: each line holds one column of liquid or a layer on its wall; \
    the front of air follows Bendiksen (1984, from memory), what it leaves is dragged along as in steady \
    stratified flow; air at one temperature, no droplets, foam or slug impact. Times of single lines agree with \
    independent integration; what remains after the first seconds is uncertain by a factor of two to \
    three, since no measurement on a boom was found. Collect what returns and weigh it.";

/// What the report of a whole purge has below its answer.
pub(super) fn report(out: &mut Page, of: &FinishedStep<'_>, purge: &Purge) {
    let units = of.units;
    out.piece(Piece::Purge, sections(of, purge));
    out.piece(Piece::Purge, remainders(purge, units));
    out.paragraph(supply(purge, units));
    out.paragraph(afterwards(purge, units));
    out.paragraph(MODEL);
}

/// What a purge is called.
pub(crate) fn title(purge: &Purge) -> String {
    match &purge.steps[..] {
        [first, .., last] => {
            format!("Purge in {} parts, \"{first}\" to \"{last}\"", purge.steps.len())
        }
        steps => format!("Purge \"{}\"", steps[0]),
    }
}

/// What a step, or the purge that ends with it, is called; of steps that repeat, each pass by itself.
pub(crate) fn called(of: &FinishedStep<'_>) -> String {
    match &of.findings.purge {
        Some(purge) if purge.steps.len() > 1 => format!("purge, {} parts", purge.steps.len()),
        _ => of.step.name.clone(),
    }
}

pub(super) fn answer(of: &FinishedStep<'_>, purge: &Purge) -> String {
    let volume = |m3: f64| of.show(m3, Q::Volume);
    let time = |s: f64| of.show(s, Q::Duration);
    let share =
        if purge.at_start_m3 > 0.0 { 100.0 * purge.returned_m3 / purge.at_start_m3 } else { 0.0 };
    let mut text = format!(
        "{} of {} in the lines return to the tank in {} ({share:.0} %); {} remain, {} are lost through tips.",
        volume(purge.returned_m3),
        volume(purge.at_start_m3),
        time(purge.lasted_s),
        volume(purge.residual.liquid_m3),
        volume(purge.lost_m3)
    );
    if let Some(RanBack { most_returned_m3, most_returned_at_s, ran_back_m3 }) = purge.ran_back {
        text.push_str(&format!(
            " The most was back {} after the purge began: {}; {} of it ran back into the lines after that and is part of what remains.",
            time(most_returned_at_s),
            volume(most_returned_m3),
            volume(ran_back_m3)
        ));
    }
    let times = [purge.half_returned_s, purge.most_returned_s, purge.nearly_returned_s];
    if let [Some(half), Some(most), Some(nearly)] = times {
        text.push_str(&format!(
            " From the start of the purge, half of it is back after {}, 90 % after {}, 95 % after {}.",
            time(half),
            time(most),
            time(nearly)
        ));
    }
    if let Some((left, lost)) = purge.residual_price.zip(purge.lost_price) {
        let currency = &of.scenario.course.product.currency;
        text.push_str(
            &format!(
                " The residual is worth {left:.2} {currency}, what is lost {lost:.2} {currency}."
            )
            .replace(" .", ".")
            .replace(" ,", ","),
        );
    }
    text
}

fn sections(of: &FinishedStep<'_>, purge: &Purge) -> Table {
    let left = |Breakthrough { section, .. }: &Breakthrough| {
        let own = |line| of.plumbing().branch(line).section == Some(section.id);
        Residual::sum(purge.by_line.iter().filter(|line| own(line.line.id))).liquid_m3
    };
    Columns::new()
        .words("section", |row: &Breakthrough| row.section.to_string())
        .each("air comes through", Q::Duration, |row| row.breakthrough_s)
        .or("not yet")
        .each("residual", Q::Volume, left)
        .table(
            "Sections, times from the start of the purge",
            purge.sections.iter().take(2 * MOST_LINES),
            of.units,
        )
}

fn remainders(purge: &Purge, units: UnitSystem) -> Table {
    let (listed, others) = purge.by_line.split_at(MOST_LINES.min(purge.by_line.len()));
    let listed = listed.iter().map(|line| (line.line.to_string(), line.residual));
    let others =
        (!others.is_empty()).then(|| (count_of(others.len(), "other"), Residual::sum(others)));
    let all = ("all".to_owned(), purge.residual);
    let some = |m3: f64| (m3 > 0.0).then_some(m3);
    Columns::new()
        .words("residual in", |(place, _): &(String, Residual)| place.clone())
        .each("in all", Q::Volume, |(_, left)| some(left.liquid_m3))
        .each("undrained", Q::Volume, |(_, left)| some(left.undrained_m3))
        .each("wall film", Q::Volume, |(_, left)| some(left.wall_film_m3))
        .each("low spot", Q::Volume, |(_, left)| some(left.low_spot_m3))
        .each("dead leg", Q::Volume, |(_, left)| some(left.dead_leg_m3))
        .table("Residual by line", listed.chain(others).chain([all]), units)
}

fn supply(purge: &Purge, units: UnitSystem) -> String {
    let pressure = |pa: f64| show(pa, Q::Pressure, units);
    let mut text = format!("Air: {} of free air.", show(purge.free_air_m3, Q::Volume, units));
    if let Some(ReceiverFinding { start_pa, end_pa, lowest_pa, .. }) = purge.receiver {
        text.push_str(&format!(
            " The receiver falls from {} to {} at its lowest and ends at {}.",
            pressure(start_pa),
            pressure(lowest_pa),
            pressure(end_pa)
        ));
    }
    if let Some(NodePressure { pressure_pa, node }) = &purge.highest {
        text.push_str(&format!(
            " Highest pressure held for longer than 50 ms: {} at {node}.",
            pressure(*pressure_pa)
        ));
    }
    if let Some(RatingUse { rating_share, line }) = &purge.rating {
        text.push_str(&format!(
            " The weakest rated line, {line}, bears {:.0} % of its rating.",
            100.0 * rating_share
        ));
    }
    text
}

fn afterwards(purge: &Purge, units: UnitSystem) -> String {
    let [refill, flush] =
        [purge.refill_m3, purge.flush_refilled_m3].map(|m3| show(m3, Q::Volume, units));
    format!(
        "Afterwards: {refill} of water fill the lines again; {flush} more flush them to {:.1} % of the residual's \
         concentration if all of it mixes, less where a front runs through (dilution; ISO 16119-4 takes 2 % as rinsed, \
         from an excerpt; a sample decides).",
        100.0 * purge.rinse_to_share
    )
}

/// How lines that held air filled.
pub(super) fn filling(out: &mut Page, found: &Filling, units: UnitSystem) {
    let columns = Columns::new()
        .words("section", |row: &SectionFilling| row.section.to_string())
        .each("liquid at its first tip", Q::Duration, |row| row.first_s)
        .or("not yet")
        .each("at its last tip", Q::Duration, |row| row.last_s)
        .or("not yet");
    let sections = found.sections.iter().take(2 * MOST_LINES);
    let title = "Filling, times from the start of the step";
    out.piece(Piece::Filling, columns.table(title, sections, units));
    let mut text = match found.filled_s {
        Some(s) => format!(
            "Liquid has reached every tip of the open sections {} after the step began.",
            show(s, Q::Duration, units)
        ),
        None => "Liquid does not reach every tip of the open sections.".to_owned(),
    };
    if let Some(LineAir { line, air_m3 }) = found.by_line.first() {
        text.push_str(&format!(
            " {} of air remain in {}, most in {line} ({}).",
            show(found.residual_air_m3, Q::Volume, units),
            count_of(found.by_line.len(), "line"),
            show(*air_m3, Q::Volume, units)
        ));
    }
    let caught = found.caught_air_m3;
    if caught > 0.0 {
        text.push_str(&format!(
            " Capped ends keep {:.0} mL of air, compressed: it pushes liquid out when the pressure falls.",
            1e6 * caught
        ));
    }
    text.push_str(
        " Fronts fill the bore; air ahead of them leaves through open tips and the tank; liquid that meets air \
         at a node runs on as a layer. Air caught as bubbles is not followed.",
    );
    out.paragraph(text);
}
