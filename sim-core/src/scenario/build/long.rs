//! The long form: any network, one named table a thing.

use super::super::spec::LONG;
use super::super::value::{Checked, Name};
use super::Build;
use super::boom::check_valve;
use super::names::Index;
use crate::fluids::GRAVITY_M_S2;
use crate::plumbing::boom::TipDesign;
use crate::plumbing::{
    Branch, BranchId, Gauge, Node, NodeId, Part, Restriction, Section, SectionId, Side, Tank,
    TankConnection, TankId, Tee, TipId,
};

impl Build<'_> {
    /// Adds everything the long form describes.
    pub(super) fn long_form(&mut self, top: &Checked) {
        self.add_tanks(top);
        let mut nodes = self.add_nodes(top);
        self.boom_sections(top);
        self.add_branches(top, &mut nodes);
        self.add_tips(top, &nodes);
        self.gauges(top, &nodes);
        let branches = self.branches();
        self.tees(top, &nodes, &branches);
        self.section_ends(top, &nodes, &branches);
    }

    fn add_tanks(&mut self, top: &Checked) {
        let mut tanks = self.tanks();
        for (name, table) in top.named("tank") {
            self.unique(&tanks, name);
            let Some(surface_m) = table.number("surface") else { continue };
            tanks.add(&name.text, TankId::at(self.machine.plumbing.tanks.len()));
            self.machine.plumbing.tanks.push(Tank {
                name: name.text.clone(),
                capacity_m3: table.number("capacity"),
                holds_m3: table.number("holds"),
                surface_m,
                heel_m3: table.number("heel").unwrap_or(0.0),
                concentration: table.number("concentration"),
            });
        }
    }

    fn add_nodes(&mut self, top: &Checked) -> Index<NodeId> {
        let (mut nodes, tanks) = (self.nodes(), self.tanks());
        for (name, table) in top.named("node") {
            self.unique(&nodes, name);
            nodes.add(&name.text, NodeId::at(self.machine.plumbing.nodes.len()));
            let elevation_m = table.number("elevation").unwrap_or(0.0);
            let tank = match table.number("pressure") {
                Some(pa) => self.kept_at(pa, elevation_m, (name, table), &tanks),
                None => self.named(&tanks, table, "tank"),
            };
            let tank = tank.map(|tank| TankConnection { tank });
            self.machine.plumbing.nodes.push(Node {
                name: name.text.clone(),
                elevation_m,
                x_m: table.number("x"),
                tank,
            });
        }
        nodes
    }

    /// A tank so far above the node that `table` describes that it is kept at `pa`.
    fn kept_at(
        &mut self,
        pa: f64,
        elevation_m: f64,
        (name, table): (&Name, &Checked),
        tanks: &Index<TankId>,
    ) -> Option<TankId> {
        if table.has("tank") {
            let message = "`tank` and `pressure` both give the pressure of this node";
            return self.refuse(table.span_of("pressure"), message, "keep one of the two");
        }
        self.unique(tanks, name);
        let surface_m = elevation_m + pa / (self.density_kg_m3 * GRAVITY_M_S2);
        self.machine.plumbing.tanks.push(Tank {
            name: name.text.clone(),
            capacity_m3: None,
            holds_m3: None,
            surface_m,
            heel_m3: 0.0,
            concentration: None,
        });
        Some(TankId::at(self.machine.plumbing.tanks.len() - 1))
    }

    fn boom_sections(&mut self, top: &Checked) {
        let mut sections = self.sections();
        for (name, _) in top.named("boom_section") {
            self.unique(&sections, name);
            sections.add(&name.text, SectionId::at(self.machine.plumbing.sections.len()));
            let (name, far_ends) = (name.text.clone(), Vec::new());
            let section = Section { name, valve: None, feed_end: None, far_ends };
            self.machine.plumbing.sections.push(section);
        }
    }

    /// Adds the branches in the order of the file; their nodes are made where no table names them.
    fn add_branches(&mut self, top: &Checked, nodes: &mut Index<NodeId>) {
        let (mut branches, sections) = (self.branches(), self.sections());
        let of_kind = |kind| top.named(kind).iter().map(move |(name, table)| (kind, name, table));
        let mut listed: Vec<(&str, &Name, &Checked)> = LONG.into_iter().flat_map(of_kind).collect();
        listed.sort_by_key(|(_, name, _)| name.span.start);
        for (kind, name, table) in listed {
            self.unique(&branches, name);
            let Some(part) = self.part(kind, table) else {
                self.walk.lost = true;
                continue;
            };
            let (Some(from), Some(to)) = (table.text("from"), table.text("to")) else { continue };
            if from == to {
                let message = format!("\"{}\" leads from node \"{from}\" to itself", name.text);
                let help = "a line or part joins two different nodes";
                self.fault(table.span_of("to"), message, help);
            }
            let [from, to] = [from, to].map(|end| self.node_or_new(end, nodes));
            let section = self.named(&sections, table, "section");
            let id = BranchId::at(self.machine.plumbing.branches.len());
            branches.add(&name.text, id);
            self.own.extend(table.contents("holds").map(|contents| (id, contents)));
            if kind == "line" {
                self.starting_air(table, id, [from, to]);
            }
            let (name, side) = (name.text.clone(), side(table));
            self.machine.plumbing.branches.push(Branch { name, from, to, part, side, section });
        }
    }

    /// Pressure of the air that line `id` between `ends` starts with, if the file gives one.
    fn starting_air(&mut self, table: &Checked, id: BranchId, ends: [NodeId; 2]) {
        let Some(air_pa) = table.number("air_pressure") else { return };
        if table.contents("holds") != Some(None) {
            let help = "add `holds = \"air\"`";
            let message = "`air_pressure` says nothing of a line that does not start with air";
            return self.fault(table.span_of("air_pressure"), message, help);
        }
        let shares =
            |branch: &Branch| ends.iter().any(|end| [branch.from, branch.to].contains(end));
        let mut others = self.air_pa.iter();
        let other = others
            .find(|(other, pa)| *pa != air_pa && shares(self.machine.plumbing.branch(*other)));
        if other.is_some() {
            let message = "a line that meets this one starts with air of another pressure";
            let help = "air of lines that meet has one pressure: put a closed valve between them";
            return self.fault(table.span_of("air_pressure"), message, help);
        }
        self.air_pa.push((id, air_pa));
    }

    fn node_or_new(&mut self, name: &str, nodes: &mut Index<NodeId>) -> NodeId {
        nodes.get(name).unwrap_or_else(|| {
            let id = NodeId::at(self.machine.plumbing.nodes.len());
            nodes.add(name, id);
            let (elevation_m, x_m, tank) = (0.0, None, None);
            self.machine.plumbing.nodes.push(Node { name: name.into(), elevation_m, x_m, tank });
            id
        })
    }

    fn part(&mut self, kind: &str, table: &Checked) -> Option<Part> {
        let restriction = || table.number("kv").map(|kv_si| Restriction { kv_si });
        Some(match kind {
            "line" => Part::Line(self.line_design(table)?.line),
            "valve" => Part::Valve(self.valve(table)?),
            "strainer" => Part::Strainer(restriction()?),
            "meter" => Part::Meter(restriction()?),
            "orifice" => Part::Orifice(self.orifice(table, "bore")?),
            "check_valve" => Part::CheckValve(check_valve(table)?),
            _ => Part::Pump(self.pump(table)?),
        })
    }

    fn add_tips(&mut self, top: &Checked, nodes: &Index<NodeId>) {
        let (mut tips, sections) = (self.tips(), self.sections());
        for (name, table) in top.named("tip") {
            self.unique(&tips, name);
            let section = self.named(&sections, table, "section");
            let (design, node) = (self.tip_design(table), self.named(nodes, table, "node"));
            let (Some(design), Some(node)) = (design, node) else {
                self.walk.lost = true;
                continue;
            };
            tips.add(&name.text, TipId::at(self.machine.plumbing.tips.len()));
            let x_m = table.number("x").or(self.machine.plumbing.node(node).x_m).unwrap_or(0.0);
            let position = table.text("position").map(str::to_owned);
            let design =
                TipDesign { position, in_use: table.flag("in_use") != Some(false), ..design };
            self.machine.plumbing.tips.push(design.tip(name.text.clone(), node, section, x_m));
        }
    }

    fn gauges(&mut self, top: &Checked, nodes: &Index<NodeId>) {
        let gauges = self.machine.plumbing.gauges.iter();
        let mut known = Index::new("gauge", gauges.map(|gauge| (&gauge.name, ())));
        for (name, table) in top.named("gauge") {
            self.unique(&known, name);
            if let Some(node) = self.named(nodes, table, "node") {
                known.add(&name.text, ());
                self.machine.plumbing.gauges.push(Gauge { name: name.text.clone(), node });
            }
        }
    }

    fn tees(&mut self, top: &Checked, nodes: &Index<NodeId>, branches: &Index<BranchId>) {
        for (name, table) in top.named("tee") {
            let Some(node) = self.named(nodes, table, "node") else { continue };
            let mut arms: Vec<Name> = table.names("run").to_vec();
            if arms.len() != 2 {
                let help = "such as run = [\"left\", \"right\"]";
                self.fault(table.span_of("run"), "the run of a tee has two arms", help);
                continue;
            }
            arms.extend(table.name("side_branch"));
            let found: Vec<BranchId> =
                arms.iter().filter_map(|arm| self.arm(arm, node, branches)).collect();
            let [a, b, side_branch] = found[..] else { continue };
            let is_line = |id: BranchId| self.machine.plumbing.branch(id).part.line().is_some();
            if !is_line(a) || !is_line(b) {
                let help = "the losses are counted on the bore of the run";
                self.fault(name.span.clone(), "the run of a tee is made of lines", help);
                continue;
            }
            self.machine.plumbing.tees.push(Tee { node, run: [a, b], side_branch });
        }
    }

    /// The branch `arm` names, which must end at `node`.
    fn arm(&mut self, arm: &Name, node: NodeId, branches: &Index<BranchId>) -> Option<BranchId> {
        let id = self.find(branches, arm)?;
        let branch = self.machine.plumbing.branch(id);
        if branch.from == node || branch.to == node {
            return Some(id);
        }
        let name = &self.machine.plumbing.node(node).name;
        let message = format!("\"{}\" does not end at the tee's node \"{name}\"", arm.text);
        self.refuse(arm.span.clone(), message, "")
    }

    fn section_ends(&mut self, top: &Checked, nodes: &Index<NodeId>, branches: &Index<BranchId>) {
        let sections = self.sections();
        for (name, table) in top.named("boom_section") {
            let Some(id) = sections.get(&name.text) else { continue };
            let valve = self.named(branches, table, "valve");
            let feed_end = self.named(nodes, table, "feed_end");
            let far_ends = self.find_all(nodes, table.names("far_ends"));
            let section = &mut self.machine.plumbing.sections[id.index()];
            (section.valve, section.feed_end, section.far_ends) = (valve, feed_end, far_ends);
        }
    }
}

fn side(table: &Checked) -> Side {
    match table.text("side") {
        Some("suction") => Side::Suction,
        Some("feed") => Side::Feed,
        Some("boom") => Side::Boom,
        Some("return") => Side::Return,
        Some("tank") => Side::Tank,
        _ => Side::Other,
    }
}
