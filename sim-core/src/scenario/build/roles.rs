//! Which part of the machine plays which role.

use super::super::value::Checked;
use super::Build;
use crate::plumbing::{NodeId, Part, Roles};

impl Build<'_> {
    /// Roles as the short form has them, or as the names of a long form's parts suggest; [roles] outweighs both.
    pub(super) fn roles(&mut self, top: &Checked) {
        if !self.has_boom {
            self.machine.roles = Roles::by_name(&self.machine.plumbing);
        }
        let Some(table) = top.table("roles") else { return };
        let pumps = self.parts("pump", |part| part.pump().is_some());
        let valves = self.parts("valve", |part| matches!(part, Part::Valve(_)));
        let (branches, nodes, tanks) = (self.branches(), self.nodes(), self.tanks());
        let air_inlet = self.named(&nodes, table, "air_inlet");
        self.air_enters_at(table, air_inlet);
        let known = std::mem::take(&mut self.machine.roles);
        self.machine.roles = Roles {
            pump: self.named(&pumps, table, "pump").or(known.pump),
            main: self.named(&branches, table, "main").or(known.main),
            header: self.named(&nodes, table, "header").or(known.header),
            gauge: table.name("gauge").and_then(|at| self.gauge_at(&at)).or(known.gauge),
            bypass: self.named(&valves, table, "bypass").or(known.bypass),
            return_valve: self.named(&valves, table, "return_valve").or(known.return_valve),
            return_header: self.named(&nodes, table, "return_header").or(known.return_header),
            air_inlet: air_inlet.or(known.air_inlet),
            back_valve: self.named(&valves, table, "back_valve").or(known.back_valve),
            tank: self.named(&tanks, table, "tank").or(known.tank),
        };
    }

    /// A fault where no entry of the compressed air is at `inlet`.
    fn air_enters_at(&mut self, table: &Checked, inlet: Option<NodeId>) {
        let mut entries = self.machine.plumbing.air.iter().flat_map(|air| &air.entries);
        if inlet.is_some_and(|inlet| !entries.any(|entry| entry.node == inlet)) {
            let help = "add the node to `at` of [air]";
            self.fault(table.span_of("air_inlet"), "no compressed air enters there", help);
        }
    }
}
