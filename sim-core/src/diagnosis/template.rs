//! A readings file with the machine's own names, to fill in.

use crate::plumbing::{BranchId, GaugeId, Part, Plumbing, SectionId, TipId};
use crate::procedure::{Action, Actuator, Control, Held, Settings, Step};
use crate::scenario::{ReadingPlace, Scenario, for_spreadsheets};
use crate::units::{Quantity as Q, UnitSystem, display_unit, show};
use std::fmt::Write as _;

/// A state of the machine to set, and what to read in it.
#[derive(Clone, Debug, PartialEq)]
pub struct BlankState {
    /// What it is called.
    pub name: String,
    /// Keys of a readings file that set it, with their values.
    pub keys: Vec<(&'static str, String)>,
    /// Everything adjustable.
    pub settings: Settings,
    /// What is held.
    pub controls: Vec<Control>,
    /// Where to read, in order.
    pub places: Vec<ReadingPlace>,
}

/// What a reading at `place` is called in a readings file.
fn kind(place: ReadingPlace) -> &'static str {
    match place {
        ReadingPlace::OwnGauge(_) | ReadingPlace::TestGauge(_) => "gauge",
        ReadingPlace::Catch(_) => "catch",
        ReadingPlace::Meter(_) => "meter",
        ReadingPlace::Speed(_) => "speed",
    }
}

/// The unit in which somebody of `units` reads at `place`.
pub fn unit_of(place: ReadingPlace, units: UnitSystem) -> &'static str {
    let quantity = match place {
        ReadingPlace::OwnGauge(_) | ReadingPlace::TestGauge(_) => Q::Pressure,
        ReadingPlace::Meter(_) => Q::Flow,
        ReadingPlace::Speed(_) => Q::Share,
        // A measuring jug is small.
        ReadingPlace::Catch(_) => {
            return match units {
                UnitSystem::Si => "mL",
                UnitSystem::Us => "fl oz",
            };
        }
    };
    display_unit(quantity, units).symbol
}

/// A readings file of the machine of `scenario` in TOML, values left blank.
pub fn template_toml(scenario: &Scenario, units: UnitSystem) -> String {
    let plumbing = &scenario.machine.plumbing;
    let mut out = String::from(
        "# Readings to fill in. What is left blank counts as not read. Clean water in the tank, protective\n\
         # equipment on, pressure relieved before a line is opened.\n",
    );
    // Writing to a String cannot fail.
    let _ = writeln!(out, "title = {}\n", quoted(&format!("{}, readings", scenario.title)));
    out.push_str(
        "# How far readings may be off: two in three lie closer to the truth than this.\n\
         [accuracy]\ngauge = \"2 %\"\ncatch = \"2 %\"\nmeter = \"2 %\"\nspeed = \"1 %\"\nmodel = \"1 %\"\n",
    );
    let _ = writeln!(out, "# Write units: {}.", units_in_words(units));
    for state in blank_states(scenario, units) {
        let _ = writeln!(out, "\n[[state]]\nname = {}", quoted(&state.name));
        for (key, value) in &state.keys {
            let _ = match value.split_once('=') {
                Some((valve, opening)) => {
                    writeln!(out, "{key} = {{ {} = {} }}", bare_or_quoted(valve), quoted(opening))
                }
                None => writeln!(out, "{key} = {}", quoted(value)),
            };
        }
        for of in ["gauge", "catch", "meter", "speed"] {
            let places = state.places.iter().filter(|place| kind(**place) == of);
            let rows: Vec<String> = places.map(|place| place.name(plumbing)).collect();
            if rows.is_empty() {
                continue;
            }
            let _ = writeln!(out, "{of} = [");
            for at in &rows {
                let _ = match of {
                    "catch" => {
                        writeln!(out, "  {{ tip = {}, volume = \"\", time = \"\" }},", quoted(at))
                    }
                    _ => writeln!(out, "  {{ at = {}, reads = \"\" }},", quoted(at)),
                };
            }
            out.push_str("]\n");
        }
    }
    out.push_str(&hints(&scenario.machine.plumbing));
    out
}

/// The same as a CSV table.
pub fn template_csv(scenario: &Scenario, units: UnitSystem) -> String {
    let plumbing = &scenario.machine.plumbing;
    let mut out = String::from(
        "# Readings to fill in; blank rows count as not read. A number has the unit of its row; change that where you read another.\n\
         # A catch test is a volume with a time in seconds (30 or 0:30), or a flow without one.\n\
         state,do,hold,pump,valves,kind,at,reads,unit,time,accuracy\n",
    );
    let mut rows = csv::Writer::from_writer(Vec::new());
    for state in blank_states(scenario, units) {
        let value = |key: &str| {
            let found = state.keys.iter().find(|(other, _)| *other == key);
            found.map(|(_, value)| value.as_str()).unwrap_or_default()
        };
        for place in &state.places {
            let set = ["do", "hold", "pump", "valves"].map(value);
            let (at, unit) = (place.name(plumbing), unit_of(*place, units));
            let own = [kind(*place), &at, "", unit, "", ""];
            let cells = [&[state.name.as_str()], &set[..], &own].concat();
            // Rows of equal length into memory: nothing here can fail.
            let _ = rows
                .write_record(cells.into_iter().map(|cell| for_spreadsheets(cell).into_owned()));
        }
    }
    out.push_str(&String::from_utf8_lossy(&rows.into_inner().unwrap_or_default()));
    out
}

/// Units in which somebody of `units` reads, in words.
fn units_in_words(units: UnitSystem) -> String {
    let [pressure, flow] =
        [Q::Pressure, Q::Flow].map(|quantity| display_unit(quantity, units).symbol);
    let volume = unit_of(ReadingPlace::Catch(TipId::at(0)), units);
    format!(
        "pressures in {pressure}, flows in {flow}, what was caught in {volume} with its time in s"
    )
}

/// The states that say most of the machine of `scenario`, and where to read in each.
pub fn blank_states(scenario: &Scenario, units: UnitSystem) -> Vec<BlankState> {
    let machine = &scenario.machine;
    let steps = || scenario.course.steps.iter();
    let holding = |step: &&Step| step.action.sprays() && !step.controls.is_empty();
    let sprays = steps().find(holding).or(steps().next());
    let controls = sprays.map(|step| &step.controls[..]).unwrap_or_default();
    let spraying = Step::of(Action::Spray, machine).settings;
    let mut states = vec![BlankState {
        name: "all sections spraying".into(),
        keys: held(controls, units).into_iter().map(|text| ("hold", text)).collect(),
        settings: spraying.clone(),
        controls: controls.to_vec(),
        places: places_of_spraying(scenario, controls),
    }];
    states.extend(controls.first().map(|first| flat_out(&machine.plumbing, first, spraying)));
    if let Some(step) = steps().find(|step| step.action == Action::Circulate) {
        let mut keys = vec![("do", "circulate".to_owned())];
        let pump = machine.roles.pump;
        match (held(&step.controls, units), pump) {
            (Some(text), _) => keys.push(("hold", text)),
            (None, Some(pump)) => {
                keys.push(("pump", show(step.settings.speed[pump.index()], Q::Share, units)));
            }
            _ => {}
        }
        let plumbing = &machine.plumbing;
        let places = own_gauges(plumbing).chain(far_ends(plumbing)).chain(meters(plumbing));
        states.push(BlankState {
            name: "circulating".into(),
            keys,
            settings: step.settings.clone(),
            controls: step.controls.clone(),
            places: places.collect(),
        });
    }
    states
}

/// The machine with what `control` moves at its end.
fn flat_out(plumbing: &Plumbing, control: &Control, mut settings: Settings) -> BlankState {
    let key = match control.by {
        Actuator::PumpSpeed(id) => {
            settings.speed[id.index()] = 1.0;
            ("pump", "100 %".to_owned())
        }
        Actuator::ValveOpening(id) => {
            let back = plumbing.node(plumbing.branch(id).to).tank.is_some();
            settings.opening[id.index()] = f64::from(!back);
            let opening = if back { "closed" } else { "open" };
            ("valves", format!("{}={opening}", plumbing.branch(id).name))
        }
    };
    let places = own_gauges(plumbing).chain(meters(plumbing)).collect();
    let (name, controls) = ("flat out".into(), Vec::new());
    BlankState { name, keys: vec![key], settings, controls, places }
}

fn held(controls: &[Control], units: UnitSystem) -> Option<String> {
    controls.first().map(|control| match control.held {
        Held::Pressure { pa, .. } => show(pa, Q::Pressure, units),
        Held::Flow { m3_s, .. } => show(m3_s, Q::Flow, units),
    })
}

fn places_of_spraying(scenario: &Scenario, controls: &[Control]) -> Vec<ReadingPlace> {
    let plumbing = &scenario.machine.plumbing;
    let mut places = Vec::new();
    for (i, gauge) in plumbing.gauges.iter().enumerate() {
        let is_held = controls
            .iter()
            .any(|c| matches!(c.held, Held::Pressure { node, .. } if node == gauge.node));
        // Where the machine's own gauge is held, a test gauge at its place says whether it is right.
        if !is_held {
            places.push(ReadingPlace::OwnGauge(GaugeId::at(i)));
        } else if plumbing.node(gauge.node).name != gauge.name {
            places.push(ReadingPlace::TestGauge(gauge.node));
        }
    }
    places.extend(far_ends(plumbing));
    let tips = || plumbing.tips.iter().enumerate().filter(|(_, tip)| tip.in_use);
    for i in 0..plumbing.sections.len() {
        let of_section = tips().filter(|(_, tip)| tip.section == Some(SectionId::at(i)));
        let of_section: Vec<usize> = of_section.map(|(i, _)| i).collect();
        let third = of_section.get(of_section.len() / 3);
        places.extend(third.map(|tip| ReadingPlace::Catch(TipId::at(*tip))));
    }
    if plumbing.sections.is_empty() {
        places.extend(tips().map(|(i, _)| ReadingPlace::Catch(TipId::at(i))));
    }
    places.extend(meters(plumbing));
    for control in controls {
        if let Actuator::PumpSpeed(id) = control.by {
            places.push(ReadingPlace::Speed(id));
        }
    }
    places
}

fn own_gauges(plumbing: &Plumbing) -> impl Iterator<Item = ReadingPlace> {
    (0..plumbing.gauges.len()).map(|i| ReadingPlace::OwnGauge(GaugeId::at(i)))
}

fn far_ends(plumbing: &Plumbing) -> impl Iterator<Item = ReadingPlace> {
    plumbing
        .sections
        .iter()
        .filter_map(|section| section.far_ends.first().copied())
        .map(ReadingPlace::TestGauge)
}

fn meters(plumbing: &Plumbing) -> impl Iterator<Item = ReadingPlace> {
    let branches = plumbing.branches.iter().enumerate();
    let meters = branches.filter(|(_, branch)| matches!(branch.part, Part::Meter(_)));
    meters.map(|(i, _)| ReadingPlace::Meter(BranchId::at(i)))
}

/// Other names a gauge or a catch test can have.
fn hints(plumbing: &Plumbing) -> String {
    let inner: Vec<&str> = plumbing
        .nodes
        .iter()
        .filter(|node| node.tank.is_none() && plumbing.tips.iter().all(|tip| tip.name != node.name))
        .map(|node| node.name.as_str())
        .filter(|name| !name.contains("-cap-") && !name.contains("-return-"))
        .collect();
    let mut out = String::from("\n# Further places for a gauge: any tip by name, and\n");
    for chunk in inner.chunks(8) {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "#   {}", chunk.join(", "));
    }
    let tips = plumbing.tips.first().zip(plumbing.tips.last());
    if let Some((first, last)) = tips {
        let _ = writeln!(out, "# Tips run from {} to {}.", first.name, last.name);
    }
    out
}

/// `name` as a key: bare where TOML takes it so.
fn bare_or_quoted(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    if !name.is_empty() && name.chars().all(bare) { name.to_owned() } else { quoted(name) }
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
