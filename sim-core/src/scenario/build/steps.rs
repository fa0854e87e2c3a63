//! Steps: what is open, closed, held or running.

use super::super::value::{Checked, Name};
use super::Build;
use super::names::Index;
use super::repeat::Listed;
use super::step_name::name_of;
use crate::plumbing::{BranchId, Part};
use crate::procedure::{Action, Control, Settings, Step};
use std::collections::BTreeSet;

impl Build<'_> {
    /// The steps of the file, repeated ones one after the other; one of spraying where it has none.
    pub(super) fn steps(&mut self, top: &Checked) -> Vec<Step> {
        let tables = top.tables("step");
        let (mut listed, mut count): (Vec<Listed>, usize) = (Vec::new(), 0);
        let mut names: BTreeSet<String> = BTreeSet::new();
        for table in tables {
            let own = self.listed(top, table, listed.len());
            count += own.steps.len();
            if self.too_many_steps(count, &table.span) {
                return Vec::new();
            }
            // A purge's parts have names of their own beside that of the whole.
            let mut own_names: Vec<&String> = own.steps.iter().map(|step| &step.name).collect();
            own_names.push(&own.name);
            own_names.dedup();
            for name in own_names {
                if !names.insert(name.clone()) {
                    let message = format!("a step called \"{name}\" is defined above already");
                    self.fault(table.span_of("name"), message, "give each a name of its own");
                }
            }
            listed.push(own);
        }
        if tables.is_empty() {
            let name = Action::Spray.word().to_owned();
            let step = self.step(top, None, Action::Spray, name.clone());
            listed.push(Listed { name, steps: vec![step] });
        }
        self.repeated(tables, listed)
    }

    /// What `table`, the step of the file with this number from 0, comes to.
    fn listed(&mut self, top: &Checked, table: &Checked, number: usize) -> Listed {
        let (action, name) = name_of(table, number);
        let steps = if action == Action::Purge {
            self.purge(table, &name)
        } else {
            self.no_purge(table, action);
            vec![self.step(top, Some(table), action, name.clone())]
        };
        Listed { name, steps }
    }

    fn step(
        &mut self,
        top: &Checked,
        table: Option<&Checked>,
        action: Action,
        name: String,
    ) -> Step {
        let step = Step::of(action, &self.machine).named(name);
        let Some(table) = table else {
            return Step { controls: self.controls(top.tables("control"), None), ..step };
        };
        let step = self.set(table, step);
        let controls = self.held_in_step(top, table, action);
        let (lasts, change) = (self.lasts(top, table, action), self.change(table));
        let (loads, transfers) = (self.loads(table), self.transfers(table));
        Step { controls, lasts, change, loads, transfers, ..step }
    }

    /// What is held in the step of `table`: nothing where its pump rests or runs at a speed of its own.
    fn held_in_step(&mut self, top: &Checked, table: &Checked, action: Action) -> Vec<Control> {
        if action == Action::Stand || table.has("pump") {
            return Vec::new();
        }
        let from = if table.has("control") { table } else { top };
        let (tables, hold) = (from.tables("control"), table.of("hold"));
        if tables.is_empty() && hold.is_some() {
            let help = "add [control] with `hold` and `by`: what moves to hold it";
            self.fault(table.span_of("hold"), "nothing is there to hold it", help);
        }
        self.controls(tables, hold)
    }

    /// `step` with sections, tips, valves and pumps as `table` sets them.
    pub(super) fn set(&mut self, table: &Checked, step: Step) -> Step {
        let mut step = step;
        self.open_positions(table, &mut step);
        if table.has("sections") {
            step = self.only(table.names("sections"), step);
        }
        self.closed_tips(table, &mut step.settings);
        self.open_valves(table, &mut step.settings);
        self.run_pumps(table, &mut step.settings);
        step
    }

    /// `step` with only the sections that `listed` names open.
    pub(super) fn only(&mut self, listed: &[Name], step: Step) -> Step {
        let open = self.find_all(&self.sections(), listed);
        step.only(&self.machine, open)
    }

    /// Opens the tips whose positions `table` names, and closes those at others.
    fn open_positions(&mut self, table: &Checked, step: &mut Step) {
        if !table.has("tips") || !step.action.sprays() {
            return;
        }
        let positions = self.machine.plumbing.tips.iter().filter_map(|tip| tip.position.as_ref());
        let positions = Index::new("position of tips", positions.map(|position| (position, ())));
        let named = table.names("tips");
        self.find_all(&positions, named);
        for (tip, opening) in self.machine.plumbing.tips.iter().zip(&mut step.settings.tip_opening)
        {
            if let Some(position) = &tip.position {
                *opening = f64::from(named.iter().any(|name| name.text == *position));
            }
        }
    }

    fn closed_tips(&mut self, table: &Checked, settings: &mut Settings) {
        // A large rig has many tips: they are listed only where some are named.
        if table.has("closed_tips") {
            for tip in self.find_all(&self.tips(), table.names("closed_tips")) {
                settings.tip_opening[tip.index()] = 0.0;
            }
        }
    }

    pub(super) fn open_valves(&mut self, table: &Checked, settings: &mut Settings) {
        let is_valve = |part: &Part| matches!(part, Part::Valve(_));
        let given = self.settings_of(table, "valves", "valve", is_valve);
        given.into_iter().for_each(|(id, opening)| settings.opening[id.index()] = opening);
    }

    fn run_pumps(&mut self, table: &Checked, settings: &mut Settings) {
        match (table.number("pump"), self.machine.roles.pump) {
            (Some(speed), Some(pump)) => settings.speed[pump.index()] = speed,
            (Some(_), None) => {
                let help = "add a pump, or name those of the network by `pumps`";
                self.fault_of_things(table.span_of("pump"), "there is no pump", help);
            }
            (None, _) => {}
        }
        let is_pump = |part: &Part| matches!(part, Part::Pump(_));
        let given = self.settings_of(table, "pumps", "pump", is_pump);
        given.into_iter().for_each(|(id, speed)| settings.speed[id.index()] = speed);
    }

    /// Branches that `key` of `table` names, with the number it gives each; all must be of `kind`.
    pub(super) fn settings_of(
        &mut self,
        table: &Checked,
        key: &str,
        kind: &'static str,
        fits: impl Fn(&Part) -> bool,
    ) -> Vec<(BranchId, f64)> {
        if !table.has(key) {
            return Vec::new();
        }
        let (parts, given) = (self.parts(kind, fits), table.settings(key).iter());
        given.filter_map(|(name, number)| Some((self.find(&parts, name)?, *number))).collect()
    }
}
