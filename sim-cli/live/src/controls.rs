//! What can be set on the page, with its value now: rows of the catalogue, and what belongs to the step shown.

use super::control_rows::{BORES_IN, BORES_MM, Chosen, ControlRow, ROWS};
use super::written::{Written, at};
use serde::Serialize;
use sim_core::plumbing::{BranchId, Part, Plumbing, TIP_SIZES};
use sim_core::procedure::{Action, Actuator, Control, Held, Step};
use sim_core::scenario::Scenario;
use sim_core::units::{Quantity as Q, UnitSystem};
use toml_edit::{DocumentMut, Item};

/// Controls that are set together, in the order in which liquid flows.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Group {
    /// What the step shown sets.
    Step,
    /// The tank and the liquid.
    Tank,
    /// Pump to header.
    Supply,
    /// Sections and their tubes.
    Sections,
    /// The way back.
    Return,
    /// Tips and travel.
    Tips,
    /// Compressed air.
    Air,
    /// Valves one by one.
    Valves,
}

/// One thing that can be set.
#[derive(Debug, Serialize)]
pub(crate) struct ShownControl {
    path: String,
    group: Group,
    words: String,
    #[serde(flatten)]
    kind: ControlKind,
}

/// How it is set.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum ControlKind {
    /// A number with a unit.
    Slider { value: f64, unit: String, min: f64, max: f64, step: f64 },
    /// One of several; each as it is written and as it is shown.
    Choice { value: String, options: Vec<[String; 2]> },
    /// Several, each on or off.
    Switches { names: Vec<String>, on: Vec<bool> },
    /// Yes or no.
    Flag { on: bool },
}

/// Everything that can be set of `scenario`, read from `document`, while step `number` of its course is shown.
pub(crate) fn of(
    scenario: &Scenario,
    document: &DocumentMut,
    number: usize,
    units: UnitSystem,
) -> Vec<ShownControl> {
    let mut controls = Vec::new();
    if let Some((step, table)) =
        scenario.course.steps.get(number).zip(table_of(scenario, document, number))
    {
        let of_step = OfStep { scenario, document, step, table, units };
        of_step.add_to(&mut controls);
    }
    controls.extend(ROWS.iter().filter_map(|row| of_row(row, document)));
    controls
}

/// The number, from 1, of the table of `document` that step `number` of the course comes from: a table may make several steps.
fn table_of(scenario: &Scenario, document: &DocumentMut, number: usize) -> Option<usize> {
    let tables = document.get("step")?.as_array_of_tables()?;
    if tables.len() == scenario.course.steps.len() {
        return Some(number + 1);
    }
    let name = &scenario.course.steps[number].name;
    let plain = name.split(" (").next().unwrap_or(name);
    let named = |table: &toml_edit::Table| {
        let item = table.get("name").or_else(|| table.get("do"));
        item.and_then(Item::as_str) == Some(plain)
    };
    tables.iter().position(named).map(|at| at + 1)
}

fn of_row(row: &ControlRow, document: &DocumentMut) -> Option<ShownControl> {
    let item = at(document, row.path)?;
    let kind = match row.chosen {
        Chosen::Between(low, high) => slider(item.as_str()?, row.quantity, (low, high))?,
        Chosen::Bores => bores(item.as_str()?)?,
        Chosen::Words(words) => {
            let same = |word: &&str| [(*word).to_owned(), (*word).to_owned()];
            ControlKind::Choice {
                value: item.as_str()?.to_owned(),
                options: words.iter().map(same).collect(),
            }
        }
        Chosen::TipSizes => tip_sizes(item.as_str()?),
        Chosen::Flag => ControlKind::Flag { on: item.as_bool()? },
    };
    Some(ShownControl { path: row.path.into(), group: row.group, words: row.words.into(), kind })
}

/// A slider over what is usual, wider where the value is beyond it.
fn slider(text: &str, quantity: Q, (low, high): (f64, f64)) -> Option<ControlKind> {
    let written = Written::read(text, quantity)?;
    let ends = [low, high].map(|end| written.in_unit(end, quantity));
    Some(between(written, ends))
}

fn between(written: Written, [low, high]: [f64; 2]) -> ControlKind {
    let (low, high) = (low.min(high).min(written.number), low.max(high).max(written.number));
    let step = round_step((high - low) / 100.0);
    let (min, max) = ((low / step).floor() * step, (high / step).ceil() * step);
    ControlKind::Slider { value: written.number, unit: written.unit, min, max, step }
}

/// 1, 2 or 5 times a power of ten, next to `span`.
fn round_step(span: f64) -> f64 {
    let power = 10f64.powf(span.max(1e-9).log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0].into_iter().find(|times| times * power >= 0.7 * span);
    times.unwrap_or(10.0) * power
}

fn bores(text: &str) -> Option<ControlKind> {
    let written = Written::read(text, Q::Bore)?;
    let listed: &[f64] = if written.unit == "in" { &BORES_IN } else { &BORES_MM };
    let mut sizes =
        if ["in", "mm"].contains(&written.unit.as_str()) { listed.to_vec() } else { Vec::new() };
    if !sizes.contains(&written.number) {
        sizes.push(written.number);
    }
    sizes.sort_by(f64::total_cmp);
    let text_of = |size: f64| format!("{size} {}", written.unit);
    let options = sizes.iter().map(|size| [text_of(*size), text_of(*size)]).collect();
    Some(ControlKind::Choice { value: text_of(written.number), options })
}

fn tip_sizes(code: &str) -> ControlKind {
    let option = |size: &sim_core::plumbing::TipSize| {
        let colour = size.colour.map(|colour| format!(", {colour}")).unwrap_or_default();
        [size.code.to_owned(), format!("{}{colour}", size.code)]
    };
    let mut options: Vec<[String; 2]> = TIP_SIZES.iter().map(option).collect();
    if !options.iter().any(|[known, _]| known == code) {
        options.push([code.to_owned(), code.to_owned()]);
    }
    ControlKind::Choice { value: code.to_owned(), options }
}

/// What the step shown sets.
struct OfStep<'a> {
    scenario: &'a Scenario,
    document: &'a DocumentMut,
    step: &'a Step,
    /// Its table in the text, from 1.
    table: usize,
    units: UnitSystem,
}

impl OfStep<'_> {
    fn plumbing(&self) -> &Plumbing {
        &self.scenario.machine.plumbing
    }

    fn path(&self, key: &str) -> String {
        format!("step.{}.{key}", self.table)
    }

    fn add_to(&self, controls: &mut Vec<ShownControl>) {
        let mut add = |path: String, group: Group, words: &str, kind: ControlKind| {
            controls.push(ShownControl { path, group, words: words.into(), kind });
        };
        if let Some(kind) = self.sections() {
            add(self.path("sections"), Group::Step, "open sections", kind);
        }
        if !matches!(self.step.action, Action::Stand | Action::Purge) {
            if let [control, ..] = self.step.controls.as_slice() {
                let (path, words, kind) = self.held(control);
                add(path, Group::Step, words, kind);
            } else if let Some(pump) = self.scenario.machine.roles.pump {
                let speed = self.step.settings.speed[pump.index()];
                add(self.path("pump"), Group::Step, "pump speed", percent(speed, 110.0));
            }
        }
        if self.step.action == Action::Purge && self.plumbing().sections.len() > 1 {
            let order =
                at(self.document, &self.path("order")).map_or(Some("together"), Item::as_str);
            if let Some(order) = order {
                let options =
                    ["together", "one at a time"].map(|word| [word.to_owned(), word.to_owned()]);
                let kind = ControlKind::Choice { value: order.into(), options: options.to_vec() };
                add(self.path("order"), Group::Step, "order of sections", kind);
            }
        }
        for (i, branch) in self.plumbing().branches.iter().enumerate() {
            let id = BranchId::at(i);
            let moved = self.step.controls.iter().any(|c| c.by == Actuator::ValveOpening(id));
            if !matches!(branch.part, Part::Valve(_)) || moved || branch.name.contains('.') {
                continue;
            }
            let group = if branch.section.is_some() { Group::Valves } else { Group::Step };
            let name = branch.name.replace('-', " ");
            let words = if name.contains("valve") { name } else { format!("valve {name}") };
            let kind = percent(self.step.settings.opening[i], 100.0);
            add(self.path(&format!("valves.{}", branch.name)), group, &words, kind);
        }
    }

    /// Sections by their valves; nothing where one has none.
    fn sections(&self) -> Option<ControlKind> {
        let sections = &self.plumbing().sections;
        let opening = &self.step.settings.opening;
        let on: Option<Vec<bool>> =
            sections.iter().map(|section| Some(opening[section.valve?.index()] > 0.0)).collect();
        let names: Vec<String> = sections.iter().map(|section| section.name.clone()).collect();
        on.filter(|on| !on.is_empty()).map(|on| ControlKind::Switches { names, on })
    }

    /// What `control`, the first of the step, holds: in the step's table, or for every step.
    fn held(&self, control: &Control) -> (String, &'static str, ControlKind) {
        let (value_si, quantity, words, most) = match control.held {
            Held::Pressure { pa, .. } => (pa, Q::Pressure, "pressure held", 8e5),
            Held::Flow { m3_s, .. } => (m3_s, Q::Flow, "flow held", 2.5 * m3_s),
        };
        let own = self.path("hold");
        let path =
            if at(self.document, &own).is_none() && at(self.document, "control.hold").is_some() {
                "control.hold".to_owned()
            } else {
                own
            };
        let text = at(self.document, &path).and_then(Item::as_str);
        let written = text.and_then(|text| Written::read(text, quantity));
        let written = written.unwrap_or_else(|| Written::shown(value_si, quantity, self.units));
        let ends = [0.05 * most, most].map(|end| written.in_unit(end, quantity));
        (path, words, between(written, ends))
    }
}

/// A slider of a share.
fn percent(share: f64, most: f64) -> ControlKind {
    let value = (1e3 * share).round() / 10.0;
    ControlKind::Slider { value, unit: "%".into(), min: 0.0, max: most.max(value), step: 1.0 }
}
