//! Which part of the machine plays which role.

use super::super::value::Checked;
use super::Build;
use crate::plumbing::{BranchId, NodeId, Part, Roles, TankId};

impl Build<'_> {
    /// Roles as the short form has them, or as the names of a long form's parts suggest; [roles] outweighs both.
    pub(super) fn roles(&mut self, top: &Checked) {
        if !self.has_boom && self.walk.faults.is_empty() {
            self.machine.roles = Roles::by_name(&self.machine.plumbing);
        }
        let Some(table) = top.table("roles") else { return };
        let pump = self.branch_of_role(table, "pump", "pump", |part| part.pump().is_some());
        let main = self.branch_of_role(table, "main", "line or part", |_| true);
        let valve = |part: &Part| matches!(part, Part::Valve(_));
        let [bypass, return_valve, back_valve] = ["bypass", "return_valve", "back_valve"]
            .map(|key| self.branch_of_role(table, key, "valve", valve));
        let nodes = self.node_index();
        let [header, return_header, air_inlet] =
            ["header", "return_header", "air_inlet"].map(|key| self.node_at(table, key, &nodes));
        let gauge = table.text("gauge").and_then(|at| self.gauge_at(at, table.span_of("gauge")));
        let tanks = super::names::index(self.machine.plumbing.tanks.iter().map(|tank| &tank.name));
        let tank: Option<TankId> = self.tank_named(table, &tanks);
        self.air_enters_at(table, air_inlet);
        let known = std::mem::take(&mut self.machine.roles);
        self.machine.roles = Roles {
            pump: pump.or(known.pump),
            main: main.or(known.main),
            header: header.or(known.header),
            gauge: gauge.or(known.gauge),
            bypass: bypass.or(known.bypass),
            return_valve: return_valve.or(known.return_valve),
            return_header: return_header.or(known.return_header),
            air_inlet: air_inlet.or(known.air_inlet),
            back_valve: back_valve.or(known.back_valve),
            tank: tank.or(known.tank),
        };
    }

    /// The branch that `key` of `table` names, which must be of `kind`.
    fn branch_of_role(
        &mut self,
        table: &Checked,
        key: &str,
        kind: &str,
        fits: impl Fn(&Part) -> bool,
    ) -> Option<BranchId> {
        let name = table.text(key)?;
        let mut index = self.branch_index();
        index.retain(|_, branch| fits(&self.machine.plumbing.branches[*branch].part));
        self.find(kind, &index, name, table.span_of(key)).map(BranchId::at)
    }

    /// A fault where no entry of the compressed air is at `inlet`.
    fn air_enters_at(&mut self, table: &Checked, inlet: Option<NodeId>) {
        let Some(inlet) = inlet else { return };
        let mut entries = self.machine.plumbing.air.iter().flat_map(|air| &air.entries);
        if !entries.any(|entry| entry.node == inlet) {
            let message = "no compressed air enters there";
            let help = "add the node to `at` of [air]".to_owned();
            self.fault(table.span_of("air_inlet"), message, Some(help));
        }
    }
}
