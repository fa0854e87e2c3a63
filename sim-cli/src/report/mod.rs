//! `report.html`: one file that opens anywhere and shows what happens inside the lines.
//!
//! Rust lays out the text and gathers the data; the files in `page/` draw the boom from them in the
//! reader's browser. Nothing is fetched: style, script, data and pictures are in the file.

mod answer;
pub(crate) mod findings;
mod html;
mod model;
mod moments;
mod pictures;

use crate::plots::{Plot, map_colour};
use crate::results::{Finished, FinishedStep, PROGRAM, Source};
use page_model::drawing::LEAST_SPAN;
use page_model::page::{Drawing, ShownUnits, rounded};
use serde::Serialize;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

pub(crate) use html::{Parts, embedded, escaped, fill, page, shell};
pub(crate) use pictures::figure;

/// A small number in words, to begin a heading with.
pub(crate) fn counted(number: usize) -> String {
    let words = ["No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight"];
    words.get(number).map_or_else(|| number.to_string(), |word| (*word).to_owned())
}

/// Everything the page needs to draw one machine.
#[derive(Debug, Serialize)]
pub(crate) struct PageMachine {
    title: String,
    drawing: Drawing,
    steps: Vec<StepData>,
    moments: moments::Moments,
}

/// One step on the page.
#[derive(Debug, Serialize)]
struct StepData {
    name: String,
    /// s after the run's start; equal for a step that lasts no time.
    from: f64,
    to: f64,
    lasts: bool,
    /// When full strength was at every tip, s after the run's start.
    #[serde(skip_serializing_if = "Option::is_none")]
    full: Option<f64>,
}

/// What the script of a page is given.
#[derive(Debug, Serialize)]
pub(crate) struct PageData {
    #[serde(flatten)]
    units: ShownUnits,
    /// Least that a scale of pressures spans: a share of its top, and a pressure.
    least_span: (f64, f64),
    /// Colours of concentration from none to full, as `#rrggbb`.
    map: Vec<String>,
    pub(crate) machines: Vec<PageMachine>,
}

/// Colours of the map that are handed over; the page blends between them.
const COLOURS: usize = 33;

impl PageData {
    /// The data of a page that shows `machines`.
    pub(crate) fn new(machines: Vec<PageMachine>, units: UnitSystem) -> Self {
        let colour = |k: usize| {
            let c = map_colour(k as f64 / (COLOURS - 1) as f64);
            format!("#{:02x}{:02x}{:02x}", c.0, c.1, c.2)
        };
        Self {
            units: ShownUnits::of(units),
            least_span: (LEAST_SPAN.0, display_unit(Q::Pressure, units).from_si(LEAST_SPAN.1)),
            map: (0..COLOURS).map(colour).collect(),
            machines,
        }
    }
}

/// What a page of `shown` machines needs to draw the one of `finished`.
pub(crate) fn machine(finished: &Finished, shown: usize) -> PageMachine {
    let full = |of: FinishedStep<'_>| {
        let (start_s, priming) = (of.record.start_s, of.findings.priming.as_ref());
        let full_s = priming.filter(|priming| priming.new_liquid)?.all_full_s;
        full_s.map(|s| rounded(start_s + s, 3))
    };
    let steps = finished.all_steps().map(|of| StepData {
        name: of.step.name.clone(),
        from: rounded(of.record.start_s, 3),
        to: rounded(of.record.end_s, 3),
        lasts: of.record.moved.is_some(),
        full: full(of),
    });
    PageMachine {
        title: finished.scenario().title.clone(),
        drawing: Drawing::of(&finished.scenario().machine, finished.units),
        steps: steps.collect(),
        moments: moments::Moments::of(finished, shown),
    }
}

/// The report on `finished`; `plots` are its pictures as files.
pub(crate) fn html(finished: &Finished, plots: &[Plot]) -> String {
    let scenario = finished.scenario();
    let page = crate::tables::page(finished);
    let data = PageData::new(vec![machine(finished, 1)], finished.units);
    let about =
        scenario.about.as_deref().map(|about| format!("<p class=\"about\">{}</p>", escaped(about)));
    let source = Source::of(&finished.loaded);
    let body = fill(
        include_str!("page/report.html"),
        &[
            ("title", &escaped(&scenario.title)),
            ("about", &about.unwrap_or_default()),
            ("answer", &answer::html(finished)),
            ("still", &pictures::still(plots)),
            ("findings", &findings::findings(&page)),
            ("plots", &pictures::html(plots)),
            ("cautions", &findings::cautions(finished)),
            ("model", &model::html(scenario)),
            ("inputs", &escaped(&finished.loaded.text)),
            ("program", PROGRAM),
            ("file", &escaped(&source.file)),
            ("sha256", &source.sha256),
        ],
    );
    shell(&scenario.title, &body, &embedded(&data))
}
