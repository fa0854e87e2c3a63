//! A diagnosis as one page, for a phone beside the machine and for a sheet of paper: self-contained HTML, the answer first.

use crate::columns::{Columns, Table, escaped, policy};
use crate::papers::{ReadingMark, SKETCH_STYLE, in_walking_order, reading_sketch, set_up};
use crate::results::Diagnosed;
use crate::tables::sheets::{expectation, sheets};
use crate::words::diagnosis::{CAUTIONS, answer, value_words};
use crate::words::how_to_read;
use sim_core::diagnosis::Measurement;
use sim_core::scenario::ReadingPlace;
use std::fmt::Write as _;

/// The page of `diagnosed` with its picture.
pub(crate) fn page(diagnosed: &Diagnosed, svg: &str) -> String {
    let title = format!("{}: {}", diagnosed.scenario.title, diagnosed.readings.title);
    let mut out = answered(diagnosed);
    let next = diagnosed.next.first().filter(|next| next.gain_bits > 0.0);
    out.extend(next.map(|next| read_next(diagnosed, next)));
    out.push_str(&places(diagnosed, next));
    out.extend(sheets(diagnosed).iter().map(Table::to_html));
    let _ = writeln!(out, "<figure>{}</figure>", inline(svg));
    out.push_str("<ul class=\"cautions\">");
    CAUTIONS.iter().for_each(|caution| {
        let _ = write!(out, "<li>{}</li>", escaped(caution));
    });
    out.push_str("</ul>\n");
    let _ = writeln!(
        out,
        "<p class=\"soft\">Machine ________________ &nbsp; Read by ________________ &nbsp; Date ____________ \
         &nbsp; Made by millstream {}.</p>\n</main>\n</body></html>",
        env!("CARGO_PKG_VERSION")
    );
    let (title, (policy, nonce)) = (escaped(&title), policy(&[&title, &out]));
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">{policy}\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><title>{title}</title>\n\
         <style nonce=\"{nonce}\">\n{SKETCH_STYLE}{}</style></head>\n<body>\n<main>\n<h1>{title}</h1>\n{out}",
        include_str!("page.css")
    )
}

/// Warnings, the answer, and what goes with it.
fn answered(diagnosed: &Diagnosed) -> String {
    let mut out = String::new();
    let paragraphs = answer(diagnosed);
    let first = paragraphs.iter().position(|text| !text.starts_with('!')).unwrap_or(0);
    for (i, text) in paragraphs.iter().enumerate() {
        let class = match i {
            i if i < first => " class=\"warning\"",
            i if i == first => " class=\"answer\"",
            _ => "",
        };
        // Writing to a String cannot fail.
        let _ = writeln!(out, "<p{class}>{}</p>", escaped(text.trim_start_matches("! ")));
    }
    out
}

/// The reading that tells most, how to set the machine up for it, and how to take it.
fn read_next(diagnosed: &Diagnosed, next: &Measurement) -> String {
    let (machine, units) = (&diagnosed.scenario.machine, diagnosed.units);
    let mut out = String::from("<section class=\"next\">\n<h2>Read next</h2>\n");
    let place = next.place.words(&machine.plumbing);
    let known = if next.state_is_known { "" } else { ", a new state" };
    let _ = writeln!(
        out,
        "<p><b>{}</b>, in the state \"{}\"{known}.</p>",
        escaped(&place),
        escaped(&next.state.name)
    );
    out.push_str("<ol>");
    for step in how_to_read(&machine.plumbing, next.place) {
        let _ = write!(out, "<li>{}</li>", escaped(&step));
    }
    out.push_str("</ol>\n");
    let _ = writeln!(out, "<p>Expect {}.</p>", escaped(&expectation(diagnosed, next)));
    let set = set_up(machine, (&next.state.settings, &next.state.controls), units);
    let table = Columns::new()
        .words("set", |(what, _): &(String, String)| what.clone())
        .words("to", |(_, how)| how.clone());
    let title = format!("State \"{}\"", next.state.name);
    out.push_str(&table.table(title, set, units).to_html());
    out.push_str("</section>\n");
    out
}

/// Where was read, and what; where to read next.
fn places(diagnosed: &Diagnosed, next: Option<&Measurement>) -> String {
    let machine = &diagnosed.scenario.machine;
    let read = || diagnosed.diagnosis.healthy_readings.iter();
    let all = read().map(|r| r.place).chain(next.map(|next| next.place));
    let marks: Vec<ReadingMark> = in_walking_order(&machine.plumbing, all)
        .into_iter()
        .enumerate()
        .map(|(i, place)| {
            let is_next = next.is_some_and(|next| next.place == place);
            ReadingMark { number: i + 1, place, is_next }
        })
        .collect();
    let said = |place: ReadingPlace| {
        let here = read().filter(|r| r.place == place);
        let values: Vec<String> =
            here.map(|r| value_words(r.place, r.read, diagnosed.units)).collect();
        if values.is_empty() { "to be read".to_owned() } else { values.join(", ") }
    };
    let columns = Columns::new()
        .plain("no.", 0, |mark: &ReadingMark| mark.number as f64)
        .words("place", |mark| mark.place.words(&machine.plumbing))
        .text("read", |mark| said(mark.place));
    format!(
        "<h2>Places of readings</h2>\n{}<p class=\"soft\">Circles: gauges, and what the machine shows. Squares: catch tests. \
         Filled: to be read next.</p>\n{}",
        reading_sketch(machine, &marks),
        columns.table("Read so far", &marks, diagnosed.units).to_html()
    )
}

/// The drawing without what is before its first element.
fn inline(svg: &str) -> &str {
    svg.find("<svg").map_or(svg, |at| &svg[at..])
}
