//! Controls: what is held, where, and by what.

use super::super::value::{Checked, Name};
use super::Build;
use super::names::Index;
use crate::plumbing::{BranchId, NodeId, Part};
use crate::procedure::{Actuator, Control, Held, MOST_CONTROLS};
use crate::units::Quantity;

impl Build<'_> {
    /// The controls `tables` describe; `hold` replaces what the first of them holds.
    pub(super) fn controls(
        &mut self,
        tables: &[Checked],
        hold: Option<(Quantity, f64)>,
    ) -> Vec<Control> {
        let branches = self.branches();
        let mut controls: Vec<Control> = Vec::new();
        for (i, table) in tables.iter().enumerate() {
            let hold = hold.filter(|_| i == 0).or(table.of("hold"));
            let held = hold.and_then(|hold| self.held(table, hold, &branches));
            let by = self.actuator(table, &branches);
            let (Some(held), Some(by)) = (held, by) else { continue };
            if controls.iter().any(|other| other.by == by) {
                let help = "each control moves a pump or valve of its own";
                self.fault(table.span_of("by"), "another control moves the same part", help);
            }
            let response_s = table.number("response").unwrap_or(0.0);
            controls.push(Control { held, by, response_s });
        }
        if controls.len() > MOST_CONTROLS {
            let message = format!("at most {MOST_CONTROLS} controls can work at once");
            self.fault(tables[MOST_CONTROLS].span.clone(), message, "");
        }
        controls
    }

    fn held(
        &mut self,
        table: &Checked,
        (quantity, value): (Quantity, f64),
        branches: &Index<BranchId>,
    ) -> Option<Held> {
        if value <= 0.0 {
            let message = "what is held must be greater than 0";
            return self.refuse(table.span_of("hold"), message, "such as \"3 bar\"");
        }
        let at = table.name("at");
        let usual = |text: &str| Name { text: text.to_owned(), span: table.span_of("hold") };
        if quantity == Quantity::Flow {
            let main = self.machine.roles.main.filter(|_| at.is_none());
            let name = at.unwrap_or_else(|| usual("main"));
            let branch = main.or_else(|| self.find(branches, &name))?;
            return Some(Held::Flow { branch, m3_s: value });
        }
        let gauge = self.machine.roles.gauge.filter(|_| at.is_none());
        let name = at.unwrap_or_else(|| usual("boom"));
        let node = gauge.or_else(|| self.gauge_at(&name))?;
        if self.machine.plumbing.node(node).tank.is_some() {
            let help = "a tank gives its own pressure; hold one elsewhere";
            return self.refuse(name.span, format!("\"{}\" opens into a tank", name.text), help);
        }
        Some(Held::Pressure { node, pa: value })
    }

    fn actuator(&mut self, table: &Checked, branches: &Index<BranchId>) -> Option<Actuator> {
        let by = table.name("by")?;
        let named = branches.get(&by.text);
        let id = match (by.text.as_str(), &self.machine.roles) {
            ("pump speed", roles) => match roles.pump {
                None => {
                    self.fault_of_things(by.span, "there is no pump", "");
                    return None;
                }
                pump => pump,
            },
            ("bypass", roles) if roles.bypass.or(named).is_none() => {
                let help = "add `bypass = { kv = \"4 m3/h\" }` to [supply]";
                self.fault_of_things(by.span, "no bypass is fitted", help);
                return None;
            }
            ("bypass", roles) => roles.bypass.or(named),
            _ => self.find(&branches.clone().of_kind("pump or valve"), &by),
        }?;
        match &self.machine.plumbing.branch(id).part {
            Part::Pump(_) => Some(Actuator::PumpSpeed(id)),
            Part::Valve(_) => Some(Actuator::ValveOpening(id)),
            other => {
                let kind = other.kind();
                let message =
                    format!("\"{}\" is a {kind}; a control moves a pump or a valve", by.text);
                self.refuse(by.span, message, "")
            }
        }
    }

    /// Where the gauge or node of this name is.
    pub(super) fn gauge_at(&mut self, name: &Name) -> Option<NodeId> {
        if let Some(found) = self.machine.plumbing.gauge_or_node(&name.text) {
            return Some(found);
        }
        // Only to say what would be right.
        let mut known = self.nodes().of_kind("gauge or node");
        let gauges = self.machine.plumbing.gauges.iter();
        gauges.for_each(|gauge| known.add(&gauge.name, gauge.node));
        self.find(&known, name)
    }
}
