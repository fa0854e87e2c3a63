//! Controls: what is held, where, and by what.

use super::super::value::{Checked, Name, Span};
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
        let branches = self.branch_index();
        let mut controls: Vec<Control> = Vec::new();
        for (i, table) in tables.iter().enumerate() {
            let hold = hold.filter(|_| i == 0).or(table.of("hold"));
            let held = hold.and_then(|hold| self.held(table, hold, &branches));
            let by = self.actuator(table, &branches);
            let (Some(held), Some(by)) = (held, by) else { continue };
            if controls.iter().any(|other| other.by == by) {
                let help = "each control moves a pump or valve of its own".to_owned();
                let message = "another control moves the same part";
                self.fault(table.span_of("by"), message, Some(help));
            }
            let response_s = table.number("response").unwrap_or(0.0);
            controls.push(Control { held, by, response_s });
        }
        if controls.len() > MOST_CONTROLS {
            let message = format!("at most {MOST_CONTROLS} controls can work at once");
            self.fault(tables[MOST_CONTROLS].span.clone(), message, None);
        }
        controls
    }

    fn held(
        &mut self,
        table: &Checked,
        (quantity, value): (Quantity, f64),
        branches: &Index,
    ) -> Option<Held> {
        if value <= 0.0 {
            let message = "what is held must be greater than 0";
            self.fault(table.span_of("hold"), message, Some("such as \"3 bar\"".into()));
            return None;
        }
        let at = table.text("at");
        let span = table.span_of(if at.is_some() { "at" } else { "hold" });
        if quantity == Quantity::Flow {
            let main = self.machine.roles.main.filter(|_| at.is_none());
            let name = Name { text: at.unwrap_or("main").to_owned(), span };
            let branch = main.or_else(|| self.branch_named(&name, branches))?;
            return Some(Held::Flow { branch, m3_s: value });
        }
        let gauge = self.machine.roles.gauge.filter(|_| at.is_none());
        let name = at.unwrap_or("boom");
        let node = gauge.or_else(|| self.gauge_at(name, span.clone()))?;
        if self.machine.plumbing.node(node).tank.is_some() {
            let help = "a tank gives its own pressure; hold one elsewhere".to_owned();
            self.fault(span, format!("\"{name}\" opens into a tank"), Some(help));
            return None;
        }
        Some(Held::Pressure { node, pa: value })
    }

    fn actuator(&mut self, table: &Checked, branches: &Index) -> Option<Actuator> {
        let by = table.text("by")?;
        let span = table.span_of("by");
        let found = match by {
            "pump speed" => self.machine.roles.pump,
            "bypass" => self.machine.roles.bypass.or(branches.get(by).copied().map(BranchId::at)),
            _ => branches.get(by).copied().map(BranchId::at),
        };
        let Some(id) = found else {
            let (message, help) = match by {
                "pump speed" => ("there is no pump".to_owned(), None),
                "bypass" => (
                    "no bypass is fitted".to_owned(),
                    Some("add `bypass = { kv = \"4 m3/h\" }` to [supply]".to_owned()),
                ),
                _ => {
                    self.find("pump or valve", branches, by, span);
                    return None;
                }
            };
            self.fault(span, message, help);
            return None;
        };
        match self.machine.plumbing.branch(id).part {
            Part::Pump(_) => Some(Actuator::PumpSpeed(id)),
            Part::Valve(_) => Some(Actuator::ValveOpening(id)),
            _ => {
                let kind = self.machine.plumbing.branch(id).part.kind();
                let message = format!("\"{by}\" is a {kind}; a control moves a pump or a valve");
                self.fault(span, message, None);
                None
            }
        }
    }

    /// Where the gauge or node called `name` is.
    pub(super) fn gauge_at(&mut self, name: &str, span: Span) -> Option<NodeId> {
        let found = self.machine.plumbing.gauge_or_node(name);
        if found.is_none() {
            // Only to say what would be right.
            let mut known = self.node_index();
            let gauges = self.machine.plumbing.gauges.iter();
            known.extend(gauges.map(|gauge| (gauge.name.clone(), gauge.node.index())));
            self.find("gauge or node", &known, name, span);
        }
        found
    }
}
