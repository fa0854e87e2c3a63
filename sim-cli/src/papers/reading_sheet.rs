//! The blank reading sheet: states to set, numbered places to read at, boxes to fill in.

use super::paper_page::PaperPage;
use super::paper_set::PaperSet;
use super::reading_sketch::{ReadingMark, in_walking_order, reading_sketch};
use super::set_up::set_up;
use crate::columns::Columns;
use crate::output::OutputFile;
use crate::results::Loaded;
use crate::words::count_of;
use crate::words::diagnosis::CAUTIONS;
use sim_core::diagnosis::{BlankState, blank_states, unit_of};
use sim_core::scenario::ReadingPlace;
use sim_core::units::UnitSystem;

/// A cell to write into.
const BLANK: &str = "______________";
const BEFORE: &str = "Machine level and standing, boom unfolded, clean water in the tank, strainers clean, gauges at zero with the pump \
    off. Set each state in order, wait until the needles are steady, write down what you read. Leave blank what you do not read.";
const AFTER: &str = "Then write a file to type the readings into, and ask what explains them:";

/// The sheet as a file; `units` are those of the reader.
pub(crate) fn reading_sheet(loaded: &Loaded, units: UnitSystem) -> PaperSet {
    let plumbing = &loaded.scenario.machine.plumbing;
    let states = blank_states(&loaded.scenario, units);
    let places = in_walking_order(plumbing, states.iter().flat_map(|s| s.places.iter().copied()));
    let marks: Vec<ReadingMark> = places
        .iter()
        .enumerate()
        .map(|(i, place)| ReadingMark { number: i + 1, place: *place, is_next: false })
        .collect();
    let mut sheet = PaperPage::default();
    sheet
        .paragraph("Machine ____________________  Read by ____________________  Date ____________");
    sheet.cautions(CAUTIONS);
    sheet.paragraph(BEFORE);
    sheet.element(&reading_sketch(&loaded.scenario.machine, &marks));
    sheet.note(
        "Circles: gauges, and what the machine shows. Squares: catch tests. The numbers are those of the tables.",
    );
    for (number, state) in states.iter().enumerate() {
        one_state(&mut sheet, loaded, (number + 1, state, &marks), units);
    }
    sheet.paragraph(AFTER);
    sheet.element(
        "<pre>millstream diagnose SCENARIO --template csv &gt; readings.csv\nmillstream diagnose SCENARIO readings.csv --out out</pre>\n",
    );
    let taken: usize = states.iter().map(|state| state.places.len()).sum();
    PaperSet {
        title: "Reading sheet",
        answer: format!(
            "{} to set, {} to read at, {} to take.",
            count_of(states.len(), "state"),
            count_of(marks.len(), "place"),
            count_of(taken, "reading"),
        ),
        files: vec![OutputFile::text("reading-sheet.html", sheet.page("Reading sheet", loaded))],
    }
}

/// What to set in one state, and what to read in it.
fn one_state(
    sheet: &mut PaperPage,
    loaded: &Loaded,
    (number, state, marks): (usize, &BlankState, &[ReadingMark]),
    units: UnitSystem,
) {
    let machine = &loaded.scenario.machine;
    let set = set_up(machine, (&state.settings, &state.controls), units);
    let table = Columns::new()
        .words("set", |(what, _): &(String, String)| what.clone())
        .words("to", |(_, how)| how.clone());
    sheet.table(&table.table(format!("State {number}, \"{}\"", state.name), set, units));
    let read = |place: ReadingPlace| match place {
        ReadingPlace::Catch(_) => format!("{BLANK} {} in ________ s", unit_of(place, units)),
        _ => format!("{BLANK} {}", unit_of(place, units)),
    };
    let here = marks.iter().filter(|mark| state.places.contains(&mark.place));
    let columns = Columns::new()
        .plain("no.", 0, |mark: &ReadingMark| mark.number as f64)
        .words("at", |mark| mark.place.words(&machine.plumbing))
        .words("read", |mark| read(mark.place));
    sheet.table(&columns.table(format!("What to read in state {number}"), here, units));
}
