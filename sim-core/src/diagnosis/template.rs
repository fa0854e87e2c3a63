//! A readings file with the machine's own names, to fill in.

use crate::plumbing::{Part, Plumbing, SectionId};
use crate::procedure::{Action, Actuator, Control, Held, Step};
use crate::scenario::{ReadingPlace, Scenario, for_spreadsheets};
use crate::units::{Quantity as Q, UnitSystem, show};
use std::fmt::Write as _;

/// A state of the template as keys and values.
struct Set {
    name: String,
    keys: Vec<(&'static str, String)>,
    /// Kind, place, what a row's value is in.
    rows: Vec<(&'static str, String)>,
}

/// A readings file of the machine of `scenario` in TOML, values left blank.
pub fn template_toml(scenario: &Scenario, units: UnitSystem) -> String {
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
    for state in states(scenario, units) {
        let _ = writeln!(out, "\n[[state]]\nname = {}", quoted(&state.name));
        for (key, value) in &state.keys {
            let _ = match value.split_once('=') {
                Some((valve, opening)) => {
                    writeln!(out, "{key} = {{ {} = {} }}", bare_or_quoted(valve), quoted(opening))
                }
                None => writeln!(out, "{key} = {}", quoted(value)),
            };
        }
        for kind in ["gauge", "catch", "meter", "speed"] {
            let rows: Vec<&String> =
                state.rows.iter().filter(|(k, _)| *k == kind).map(|(_, at)| at).collect();
            if rows.is_empty() {
                continue;
            }
            let _ = writeln!(out, "{kind} = [");
            for at in rows {
                let _ = match kind {
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
    let mut out = String::from(
        "# Readings to fill in, each with its unit; blank rows count as not read. A catch test is a volume with a time,\n\
         # or a flow without one.\nstate,do,hold,pump,valves,kind,at,reads,time,accuracy\n",
    );
    let mut rows = csv::Writer::from_writer(Vec::new());
    for state in states(scenario, units) {
        let value = |key: &str| {
            let found = state.keys.iter().find(|(other, _)| *other == key);
            found.map(|(_, value)| value.as_str()).unwrap_or_default()
        };
        for (kind, at) in &state.rows {
            let set = ["do", "hold", "pump", "valves"].map(value);
            let cells = [&[state.name.as_str()], &set[..], &[kind, at, "", "", ""]].concat();
            // Rows of equal length into memory: nothing here can fail.
            let _ = rows
                .write_record(cells.into_iter().map(|cell| for_spreadsheets(cell).into_owned()));
        }
    }
    out.push_str(&String::from_utf8_lossy(&rows.into_inner().unwrap_or_default()));
    out
}

fn states(scenario: &Scenario, units: UnitSystem) -> Vec<Set> {
    let plumbing = &scenario.machine.plumbing;
    let steps = || scenario.course.steps.iter();
    let holding = |step: &&Step| step.action.sprays() && !step.controls.is_empty();
    let sprays = steps().find(holding).or(steps().next());
    let controls = sprays.map(|step| &step.controls[..]).unwrap_or_default();
    let mut states = vec![Set {
        name: "all sections spraying".into(),
        keys: held(controls, units).into_iter().map(|text| ("hold", text)).collect(),
        rows: spraying_rows(scenario, controls),
    }];
    if let Some(first) = controls.first() {
        let key = match first.by {
            Actuator::PumpSpeed(_) => ("pump", "100 %".to_owned()),
            Actuator::ValveOpening(id) => {
                let back = plumbing.node(plumbing.branch(id).to).tank.is_some();
                let opening = if back { "closed" } else { "open" };
                ("valves", format!("{}={opening}", plumbing.branch(id).name))
            }
        };
        let own = plumbing.gauges.iter().map(|gauge| ("gauge", gauge.name.clone()));
        let rows = own.chain(meters(plumbing)).collect();
        states.push(Set { name: "flat out".into(), keys: vec![key], rows });
    }
    if let Some(step) = steps().find(|step| step.action == Action::Circulate) {
        let mut keys = vec![("do", "circulate".to_owned())];
        let pump = scenario.machine.roles.pump;
        match (held(&step.controls, units), pump) {
            (Some(text), _) => keys.push(("hold", text)),
            (None, Some(pump)) => {
                keys.push(("pump", show(step.settings.speed[pump.index()], Q::Share, units)));
            }
            _ => {}
        }
        let own = plumbing.gauges.iter().map(|gauge| ("gauge", gauge.name.clone()));
        let ends = far_ends(scenario);
        let rows = own.chain(ends).chain(meters(plumbing)).collect();
        states.push(Set { name: "circulating".into(), keys, rows });
    }
    states
}

fn held(controls: &[Control], units: UnitSystem) -> Option<String> {
    controls.first().map(|control| match control.held {
        Held::Pressure { pa, .. } => show(pa, Q::Pressure, units),
        Held::Flow { m3_s, .. } => show(m3_s, Q::Flow, units),
    })
}

fn spraying_rows(scenario: &Scenario, controls: &[Control]) -> Vec<(&'static str, String)> {
    let plumbing = &scenario.machine.plumbing;
    let mut rows = Vec::new();
    for gauge in &plumbing.gauges {
        let is_held = controls
            .iter()
            .any(|c| matches!(c.held, Held::Pressure { node, .. } if node == gauge.node));
        // Where the machine's own gauge is held, a test gauge at its place says whether it is right.
        let node = &plumbing.node(gauge.node).name;
        if !is_held {
            rows.push(("gauge", gauge.name.clone()));
        } else if *node != gauge.name {
            rows.push(("gauge", node.clone()));
        }
    }
    rows.extend(far_ends(scenario));
    for i in 0..plumbing.sections.len() {
        let in_use = plumbing.tips.iter().filter(|tip| tip.in_use);
        let of_section = in_use.filter(|t| t.section == Some(SectionId::at(i)));
        let names: Vec<&String> = of_section.map(|tip| &tip.name).collect();
        rows.extend(names.get(names.len() / 3).map(|name| ("catch", (*name).clone())));
    }
    if plumbing.sections.is_empty() {
        rows.extend(plumbing.tips.iter().map(|tip| ("catch", tip.name.clone())));
    }
    rows.extend(meters(plumbing));
    for control in controls {
        if let Actuator::PumpSpeed(id) = control.by {
            rows.push(("speed", plumbing.branch(id).name.clone()));
        }
    }
    rows
}

fn far_ends(scenario: &Scenario) -> Vec<(&'static str, String)> {
    let plumbing = &scenario.machine.plumbing;
    let ends = plumbing.sections.iter().filter_map(|section| section.far_ends.first());
    ends.map(|node| ("gauge", ReadingPlace::TestGauge(*node).name(plumbing))).collect()
}

fn meters(plumbing: &Plumbing) -> Vec<(&'static str, String)> {
    let meters = plumbing.branches.iter().filter(|b| matches!(b.part, Part::Meter(_)));
    meters.map(|meter| ("meter", meter.name.clone())).collect()
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
