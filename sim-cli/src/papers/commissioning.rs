//! The commissioning sheet: states to set, what every gauge and catch test should read, boxes to fill in.

use super::paper_page::PaperPage;
use super::paper_set::PaperSet;
use super::quantities::as_set;
use super::set_up::set_up;
use crate::columns::Columns;
use crate::output::OutputFile;
use crate::results::Loaded;
use crate::words::diagnosis::CAUTIONS;
use crate::words::{AIR_CAUTION, count_of, input_words, off_words};
use sim_core::diagnosis::{
    DiagnosisError, ExpectedReading, ExpectedState, SPREADS, Spread, WATER_C, expected_readings,
};
use sim_core::plumbing::Plumbing;
use sim_core::scenario::ReadingPlace;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show, show_number};

/// A cell to write into, and one to tick.
const BLANK: &str = "____________";
const BOX: &str = "\u{2610}";
const BEFORE: &str = "Machine level and standing, boom unfolded, clean water in the tank, strainers clean, gauges at zero with \
    the pump off.";
const HOW_TO_READ: &str = "Set each state in order and wait until the needles are steady. Write down what you read; tick where it is \
    inside the band. A reading outside says that the machine is not what the scenario describes, or that a gauge is off: read \
    it again with another gauge, then look for the reason with millstream diagnose.";

/// The sheet and its table as files; `units` are those of the reader.
///
/// # Errors
/// Where the machine has no solution in one of its states.
pub(crate) fn commissioning(
    loaded: &Loaded,
    units: UnitSystem,
) -> Result<PaperSet, DiagnosisError> {
    let states = expected_readings(&loaded.scenario)?;
    let page = page(loaded, &states, units);
    let csv = table_for_spreadsheets(loaded, &states, units);
    let readings: usize = states.iter().map(|state| state.readings.len()).sum();
    Ok(PaperSet {
        title: "Commissioning sheet",
        answer: format!(
            "{} to set, {} to take, each with the band it should be in.",
            count_of(states.len(), "state"),
            count_of(readings, "reading"),
        ),
        files: vec![
            OutputFile::text("commissioning.html", page),
            OutputFile::text("commissioning.csv", csv),
        ],
    })
}

fn page(loaded: &Loaded, states: &[ExpectedState], units: UnitSystem) -> String {
    let mut sheet = PaperPage::default();
    sheet.paragraph(
        "Machine ____________________  Checked by ____________________  Date ____________",
    );
    sheet.cautions(CAUTIONS);
    sheet.paragraph(BEFORE);
    leak_test(&mut sheet, loaded, states, units);
    sheet.heading("Readings");
    sheet.paragraph(HOW_TO_READ);
    if states.is_empty() {
        sheet
            .paragraph("The scenario has no step in which liquid flows: there is nothing to read.");
    }
    for (number, expected) in states.iter().enumerate() {
        state(&mut sheet, loaded, (number + 1, expected), units);
    }
    assumed(&mut sheet, units);
    sheet.page("Commissioning sheet", loaded)
}

/// Water before air.
fn leak_test(sheet: &mut PaperPage, loaded: &Loaded, states: &[ExpectedState], units: UnitSystem) {
    sheet.heading("Leak test, with water before air");
    let readings = states.iter().flat_map(|state| &state.readings);
    let pressures = readings.filter(|reading| reading.place.is_pressure());
    let highest = pressures.map(|reading| reading.value).fold(0.0, f64::max);
    let plumbing = &loaded.scenario.machine.plumbing;
    let ratings = plumbing.branches.iter().filter_map(|b| b.part.line()?.rating_pa);
    let rating = ratings.reduce(f64::min).map_or_else(
        || "the scenario states no rating: look up the weakest of hoses, tubes, fittings, bowls and bodies".to_owned(),
        |pa| format!("the lowest rating that the scenario states is {}", show(pa, Q::Pressure, units)),
    );
    let mut steps = vec![
        "Clean water, tips closed, pump slow: walk the lines and look at every joint, body and cap.".to_owned(),
        format!(
            "Raise the pressure to {}, the highest that any gauge below should read; never above the lowest rating ({rating}).",
            show(highest, Q::Pressure, units)
        ),
        "Hold it for ten minutes (common practice, no source) and look again; mend with the pressure let off.".to_owned(),
    ];
    if let Some(air) = &plumbing.air {
        steps.push(format!(
            "Only when no water leaks: air, regulated first to a little and then to {}, from a distance, nobody near tips and \
             hose ends.",
            show(air.regulated_pa, Q::Pressure, units)
        ));
    }
    let row = |(i, text): (usize, &String)| (i + 1, text.clone());
    let rows: Vec<(usize, String)> = steps.iter().enumerate().map(row).collect();
    let table = Columns::new()
        .plain("step", 0, |(number, _): &(usize, String)| *number as f64)
        .words("done", |_| BOX)
        .words("what", |(_, text)| text.clone());
    sheet.table(&table.table("Leak test", rows, units));
    if plumbing.air.is_some() {
        sheet.cautions([AIR_CAUTION]);
    }
}

/// One state: what to set, what to read.
fn state(
    sheet: &mut PaperPage,
    loaded: &Loaded,
    (number, expected): (usize, &ExpectedState),
    units: UnitSystem,
) {
    let (machine, state) = (&loaded.scenario.machine, &expected.state);
    let set = set_up(machine, (&state.settings, &state.controls), units);
    let table = Columns::new()
        .words("set", |(what, _): &(String, String)| what.clone())
        .words("to", |(_, how)| how.clone());
    sheet.table(&table.table(format!("State {number}, \"{}\"", state.name), set, units));
    if !expected.held {
        sheet.paragraph(
            "By the scenario what is to be held is not reached in this state: pump or valve come to the end of their range.",
        );
    }
    let plumbing = &machine.plumbing;
    let columns = Columns::new()
        .words("at", |reading: &ExpectedReading| reading.place.words(plumbing))
        .text("expected", |reading| shown(reading.value, reading, units))
        .text("band", |reading| band(reading, units))
        .words("read", |_| BLANK)
        .words("inside", |_| BOX);
    let title = format!("What to read in state {number}");
    sheet.table(&columns.table(title, &expected.readings, units));
}

fn assumed(sheet: &mut PaperPage, units: UnitSystem) {
    sheet.heading("What the bands assume");
    sheet.paragraph(&format!(
        "Water of {}, full lines, tips as the scenario has them. Each input is put at both ends of its spread and the network \
         solved again; a band is the root of the sum of the squares of what they do, inputs taken as independent (JCGM \
         100:2008, 5.1.2). Spreads, and so bands, hold about 95 of 100 machines. What is measured on this machine narrows them.",
        show(WATER_C, Q::Temperature, units)
    ));
    let table = Columns::new()
        .words("input", |spread: &Spread| input_words(spread.input))
        .words("may be off by", |spread| off_words(spread.off, units))
        .words("from", |spread| spread.source);
    sheet.table(&table.table("Assumed spreads", SPREADS, units));
}

/// The quantity that is read at `place`.
fn quantity(place: ReadingPlace) -> Q {
    match place {
        ReadingPlace::OwnGauge(_) | ReadingPlace::TestGauge(_) => Q::Pressure,
        ReadingPlace::Catch(_) | ReadingPlace::Meter(_) => Q::Flow,
        ReadingPlace::Speed(_) => Q::Share,
    }
}

/// Decimals that the band of `reading` bears: those of the first two figures of half of it, none finer than is usual.
fn decimals(reading: &ExpectedReading, units: UnitSystem) -> usize {
    let unit = display_unit(quantity(reading.place), units);
    let half = 0.5 * (unit.from_si(reading.high) - unit.from_si(reading.low)).abs();
    let usual = show_number(reading.value, quantity(reading.place), units);
    let usual = usual.split_once('.').map_or(0, |(_, digits)| digits.len());
    let borne = if half > 0.0 { (1.0 - half.log10().floor()).max(0.0) as usize } else { usual };
    borne.min(usual)
}

/// Whether `reading` is what is set: nothing is off then.
fn is_set(reading: &ExpectedReading) -> bool {
    reading.high - reading.low <= 1e-9 * reading.value.abs()
}

fn shown(value: f64, reading: &ExpectedReading, units: UnitSystem) -> String {
    if is_set(reading) {
        return as_set(value, quantity(reading.place), units);
    }
    let unit = display_unit(quantity(reading.place), units);
    format!("{:.*} {}", decimals(reading, units), unit.from_si(value), unit.symbol)
}

fn band(reading: &ExpectedReading, units: UnitSystem) -> String {
    if is_set(reading) {
        return "as set".into();
    }
    let low = display_unit(quantity(reading.place), units).from_si(reading.low);
    let high = shown(reading.high, reading, units);
    format!("{low:.*} to {high}", decimals(reading, units))
}

/// Every reading of every state, to fill in.
fn table_for_spreadsheets(loaded: &Loaded, states: &[ExpectedState], units: UnitSystem) -> String {
    let plumbing: &Plumbing = &loaded.scenario.machine.plumbing;
    let rows = states.iter().flat_map(|state| state.readings.iter().map(move |r| (state, r)));
    let number = move |value: f64, reading: &ExpectedReading| {
        display_unit(quantity(reading.place), units).from_si(value)
    };
    let unit = move |place| display_unit(quantity(place), units).symbol;
    Columns::new()
        .words("state", |(state, _): &(&ExpectedState, &ExpectedReading)| state.state.name.clone())
        .words("at", |(_, reading)| reading.place.words(plumbing))
        .words("unit", move |(_, reading)| unit(reading.place))
        .plain("expected", 4, move |(_, reading)| number(reading.value, reading))
        .plain("from", 4, move |(_, reading)| number(reading.low, reading))
        .plain("to", 4, move |(_, reading)| number(reading.high, reading))
        .words("read", |_| "")
        .csv(rows, units)
}
