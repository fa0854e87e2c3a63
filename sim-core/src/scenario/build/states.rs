//! From checked tables of a readings file to states of the machine and what was read in them.

use super::super::fault::InputFault;
use super::super::files::NoFiles;
use super::super::model::Scenario;
use super::super::readings::{
    Accuracy, KindChange, PriorChanges, Reading, ReadingPlace, Readings, State, section_ends,
};
use super::super::value::Checked;
use super::super::walk::Walk;
use super::Build;
use super::names::Index;
use super::spreadsheet_date::names_behind;
use crate::plumbing::{BranchId, GaugeId, NodeId, Part};
use crate::procedure::{Action, Actuator, Control, Held, Step};
use crate::units::Quantity;

/// What the recirculation valve of a machine without that role is called.
const RETURN_VALVE: &str = "return-valve";
/// Most states in a file: each is held against the machine with each of its faults.
const MOST_STATES: usize = 200;

/// The readings of the file `top`, taken at the machine of `scenario`, or every fault found.
pub(in crate::scenario) fn states(
    top: &Checked,
    scenario: &Scenario,
) -> Result<Readings, Vec<InputFault>> {
    let mut machine = scenario.machine.clone();
    let roles = &mut machine.roles;
    roles.return_valve = roles.return_valve.or(machine.plumbing.branch_named(RETURN_VALVE));
    // A readings file names no other file.
    let (walk, files) = (Walk::default(), &NoFiles);
    let (own, air_pa) = (Vec::new(), Vec::new());
    let density_kg_m3 = scenario.course.liquid.density_kg_m3;
    let has_boom = false;
    let mut build = Build { walk, files, machine, has_boom, own, density_kg_m3, air_pa };
    let accuracy = top.table("accuracy");
    let tables = top.tables("state");
    if let Some(beyond) = tables.get(MOST_STATES) {
        let message = format!("{} states are more than the {MOST_STATES} of a file", tables.len());
        build.fault(beyond.span.clone(), message, "spread them over several files");
        return Err(build.walk.faults);
    }
    let mut states: Vec<State> = Vec::new();
    for table in tables {
        let state = build.state(table, scenario, accuracy, states.len());
        if states.iter().any(|other| other.name == state.name) {
            let message = format!("a state called \"{}\" is defined above already", state.name);
            build.fault(table.span_of("name"), message, "give each a name of its own");
        }
        states.push(state);
    }
    if states.iter().all(|state| state.readings.is_empty()) && build.walk.faults.is_empty() {
        let help = "fill in at least one `reads`, `volume` and `time`, or `flow`";
        build.fault(0..0, "there is no reading in the file", help);
    }
    if !build.walk.faults.is_empty() {
        return Err(build.walk.faults);
    }
    Ok(Readings {
        title: top.text("title").unwrap_or("readings").to_owned(),
        model_accuracy: accuracy.and_then(|table| table.number("model")).unwrap_or_default(),
        prior: top.table("prior").map(prior).unwrap_or_default(),
        states,
    })
}

fn prior(table: &Checked) -> PriorChanges {
    let kind = |table: &Checked| KindChange {
        kind: table.text("kind").unwrap_or_default().to_owned(),
        weight: table.number("weight"),
        typical: table.number("typical"),
        factor: table.number("factor"),
    };
    PriorChanges {
        no_fault: table.number("no_fault"),
        two_faults: table.number("two_faults"),
        something_else: table.number("something_else"),
        kinds: table.tables("fault").iter().map(kind).collect(),
    }
}

/// What the scenario holds in the first step of this kind that holds anything, or else in the first of any kind.
fn usual_controls(scenario: &Scenario, action: Action) -> &[Control] {
    let holding = || scenario.course.steps.iter().filter(|step| !step.controls.is_empty());
    let alike = holding().find(|step| step.action.sprays() == action.sprays());
    alike.or(holding().next()).map(|step| &step.controls[..]).unwrap_or_default()
}

impl Build<'_> {
    fn state(
        &mut self,
        table: &Checked,
        scenario: &Scenario,
        accuracy: Option<&Checked>,
        number: usize,
    ) -> State {
        let circulates = table.text("do") == Some("circulate");
        let action = if circulates { Action::Circulate } else { Action::Spray };
        let step = Step::of(action, &self.machine);
        let settings = self.set(table, step).settings;
        let controls = self.held_in(table, usual_controls(scenario, action));
        let default = format!("state {}", number + 1);
        let name = table.text("name").map_or(default, str::to_owned);
        let readings = self.readings(table, accuracy);
        State { name, action, settings, controls, readings }
    }

    /// The controls at work: those of the scenario, the first holding what `table` says; none of a pump
    /// whose speed or a valve whose opening `table` fixes.
    fn held_in(&mut self, table: &Checked, controls: &[Control]) -> Vec<Control> {
        let fixed: Vec<String> = ["valves", "pumps"]
            .into_iter()
            .flat_map(|key| table.settings(key))
            .map(|(name, _)| name.text.clone())
            .collect();
        let own = |branch: BranchId| fixed.contains(&self.machine.plumbing.branch(branch).name);
        let free = |control: &&Control| match control.by {
            Actuator::PumpSpeed(id) => !table.has("pump") && !own(id),
            Actuator::ValveOpening(id) => !table.has("pump") && !own(id),
        };
        let mut kept: Vec<Control> = controls.iter().filter(free).copied().collect();
        let Some((quantity, value)) = table.of("hold") else { return kept };
        if value <= 0.0 {
            let help = "such as \"3 bar\"";
            self.fault(table.span_of("hold"), "what is held must be greater than 0", help);
            return kept;
        }
        let Some(first) = kept.first_mut() else {
            let help = "leave out `hold`, or what fixes the pump or the valve that holds it";
            let message = "nothing is held in this state: the control's pump or valve is fixed";
            self.fault(table.span_of("hold"), message, help);
            return kept;
        };
        match (&mut first.held, quantity) {
            (Held::Pressure { pa, .. }, Quantity::Pressure) => *pa = value,
            (Held::Flow { m3_s, .. }, Quantity::Flow) => *m3_s = value,
            (held, _) => {
                let wanted = match held {
                    Held::Pressure { .. } => "a pressure",
                    Held::Flow { .. } => "a flow",
                };
                let message = format!("this machine's control holds {wanted}");
                self.fault(table.span_of("hold"), message, "");
            }
        }
        kept
    }

    fn readings(&mut self, table: &Checked, accuracy: Option<&Checked>) -> Vec<Reading> {
        let good = |key: &str| accuracy?.number(key).map(Accuracy::Share);
        let places = self.gauge_places();
        let meters = self.parts("flow meter", |part| matches!(part, Part::Meter(_)));
        let pumps = self.parts("pump", |part| part.pump().is_some());
        let tips = self.tips();
        let mut readings = Vec::new();
        for kind in ["gauge", "catch", "meter", "speed"] {
            for row in table.tables(kind) {
                let (place, value) = match kind {
                    "gauge" => (self.gauge_place(row, &places), row.number("reads")),
                    "catch" => {
                        (self.no_date(&tips, row, "tip").map(ReadingPlace::Catch), self.caught(row))
                    }
                    "meter" => (
                        self.named(&meters, row, "at").map(ReadingPlace::Meter),
                        row.number("reads"),
                    ),
                    _ => (
                        self.named(&pumps, row, "at").map(ReadingPlace::Speed),
                        row.number("reads"),
                    ),
                };
                readings.extend(reading(row, place, value, good(kind)));
            }
        }
        readings
    }

    /// Every name a gauge may sit at; gauges of the machine come before nodes of the same name.
    fn gauge_places(&self) -> Index<ReadingPlace> {
        let plumbing = &self.machine.plumbing;
        let mut places = Index::new("gauge, node, tip or section end", std::iter::empty());
        let own = plumbing.gauges.iter().enumerate();
        own.for_each(|(i, gauge)| places.add(&gauge.name, ReadingPlace::OwnGauge(GaugeId::at(i))));
        let nodes = plumbing.nodes.iter().enumerate();
        let nodes = nodes.map(|(i, node)| (node.name.clone(), NodeId::at(i)));
        let tips = plumbing.tips.iter().map(|tip| (tip.name.clone(), tip.node));
        let test = section_ends(plumbing).into_iter().chain(nodes).chain(tips);
        test.for_each(|(name, node)| places.add(&name, ReadingPlace::TestGauge(node)));
        places
    }

    fn gauge_place(&mut self, row: &Checked, places: &Index<ReadingPlace>) -> Option<ReadingPlace> {
        let place = self.no_date(places, row, "at")?;
        match place {
            ReadingPlace::TestGauge(node) if self.machine.plumbing.node(node).tank.is_some() => {
                let name = row.text("at")?;
                let message =
                    format!("\"{name}\" opens into a tank: a gauge there would show nothing");
                self.refuse(row.span_of("at"), message, "")
            }
            _ => Some(place),
        }
    }

    /// What `key` of `row` names in `index`; says so where that is a date which a spreadsheet made of a name.
    fn no_date<T: Copy>(&mut self, index: &Index<T>, row: &Checked, key: &str) -> Option<T> {
        let name = row.name(key)?;
        let names =
            if index.get(&name.text).is_none() { names_behind(&name.text) } else { Vec::new() };
        let meant: Vec<String> = names
            .into_iter()
            .filter(|name| index.get(name).is_some())
            .map(|n| format!("\"{n}\""))
            .collect();
        if meant.is_empty() {
            return self.find(index, &name);
        }
        let message =
            format!("\"{}\" is a date that a spreadsheet made of the name of a tip", name.text);
        let help = format!(
            "write {} in a column that the spreadsheet takes for text; sections called \"S1\" and the like have tips that it leaves \
             alone",
            meant.join(" or ")
        );
        self.refuse(name.span, message, help)
    }

    fn caught(&mut self, row: &Checked) -> Option<f64> {
        let volume = row.number("volume").zip(row.number("time"));
        let (given, missing) = (row.number("flow"), row.has("volume") != row.has("time"));
        let message = match (volume, given) {
            (None, Some(flow)) if !missing => return Some(flow),
            (Some((volume, time)), None) => return Some(volume / time),
            (Some(_), Some(_)) => "this catch test has a flow beside volume and time",
            _ if missing => "volume and time belong together",
            _ => "this catch test has no result",
        };
        let help = "write `volume = \"0.8 L\"` with `time = \"30 s\"`, or `flow = \"1.6 L/min\"`";
        self.refuse(row.span.clone(), message, help)
    }
}

fn reading(
    row: &Checked,
    place: Option<ReadingPlace>,
    value: Option<f64>,
    usual: Option<Accuracy>,
) -> Option<Reading> {
    let own = row.of("accuracy").filter(|(_, value)| *value > 0.0);
    let accuracy = match own {
        Some((Quantity::Share, share)) => Accuracy::Share(share),
        Some((_, absolute)) => Accuracy::Absolute(absolute),
        None => usual?,
    };
    Some(Reading { place: place?, value: value?, accuracy })
}
