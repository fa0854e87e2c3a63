//! The long form: any network, one named table a thing.

use super::super::spec::LONG;
use super::super::value::{Checked, Name};
use super::Build;
use super::boom::check_valve;
use super::names::{Index, index};
use crate::plumbing::{
    Branch, BranchId, Gauge, Line, Node, NodeId, Part, Restriction, Section, SectionId, Side, Tank,
    TankConnection, TankId, Tee,
};

impl Build<'_> {
    /// Adds everything the long form describes.
    pub(super) fn long_form(&mut self, top: &Checked) {
        self.tanks(top);
        let nodes = self.nodes(top);
        self.boom_sections(top);
        let nodes = self.branches(top, nodes);
        self.tips(top, &nodes);
        self.gauges(top, &nodes);
        let branches = self.branch_index();
        self.tees(top, &nodes, &branches);
        self.section_ends(top, &nodes, &branches);
    }

    fn duplicate(&mut self, kind: &str, name: &Name) {
        let message = format!("a {kind} called \"{}\" is in the scenario already", name.text);
        self.fault(name.span.clone(), message, Some("give each a name of its own".into()));
    }

    fn tanks(&mut self, top: &Checked) {
        for (name, table) in top.named("tank") {
            if self.machine.plumbing.tanks.iter().any(|tank| tank.name == name.text) {
                self.duplicate("tank", name);
            }
            let Some(surface_m) = table.number("surface") else { continue };
            let (capacity_m3, holds_m3) = (table.number("capacity"), table.number("holds"));
            self.machine.plumbing.tanks.push(Tank {
                name: name.text.clone(),
                capacity_m3,
                holds_m3,
                surface_m,
                heel_m3: table.number("heel").unwrap_or(0.0),
                concentration: table.number("strength"),
            });
        }
    }

    fn nodes(&mut self, top: &Checked) -> Index {
        let mut nodes = self.node_index();
        let tanks = index(self.machine.plumbing.tanks.iter().map(|tank| &tank.name));
        for (name, table) in top.named("node") {
            if nodes.contains_key(&name.text) {
                self.duplicate("node", name);
            }
            let tank = self.tank_named(table, &tanks).map(|tank: TankId| TankConnection { tank });
            nodes.entry(name.text.clone()).or_insert(self.machine.plumbing.nodes.len());
            self.machine.plumbing.nodes.push(Node {
                name: name.text.clone(),
                elevation_m: table.number("elevation").unwrap_or(0.0),
                x_m: table.number("x"),
                tank,
            });
        }
        nodes
    }

    fn boom_sections(&mut self, top: &Checked) {
        for (name, _) in top.named("boom_section") {
            if self.machine.plumbing.sections.iter().any(|section| section.name == name.text) {
                self.duplicate("section", name);
            }
            self.machine.plumbing.sections.push(Section {
                name: name.text.clone(),
                valve: None,
                feed_end: None,
                far_ends: Vec::new(),
            });
        }
    }

    /// Adds the branches in the order of the file; their nodes are made where no table names them.
    fn branches(&mut self, top: &Checked, mut nodes: Index) -> Index {
        let mut branches = self.branch_index();
        let sections = self.section_index();
        let of_kind = |kind| top.named(kind).iter().map(move |(name, table)| (kind, name, table));
        let mut listed: Vec<(&str, &Name, &Checked)> = LONG.into_iter().flat_map(of_kind).collect();
        listed.sort_by_key(|(_, name, _)| name.span.start);
        for (kind, name, table) in listed {
            if branches.contains_key(&name.text) {
                self.duplicate("line or part", name);
            }
            let Some(part) = self.part(kind, table) else { continue };
            let (Some(from), Some(to)) = (table.text("from"), table.text("to")) else { continue };
            if from == to {
                let help = "a line or part joins two different nodes".to_owned();
                let message = format!("\"{}\" leads from node \"{from}\" to itself", name.text);
                self.fault(table.span_of("to"), message, Some(help));
            }
            let ends = [from, to].map(|end| self.node_or_new(end, &mut nodes));
            branches.entry(name.text.clone()).or_insert(self.machine.plumbing.branches.len());
            let section = self.section_of(table, &sections);
            if let Some(contents) = table.contents("holds") {
                self.own.push((BranchId::at(self.machine.plumbing.branches.len()), contents));
            }
            self.machine.plumbing.branches.push(Branch {
                name: name.text.clone(),
                from: ends[0],
                to: ends[1],
                part,
                side: side(table),
                section,
            });
        }
        nodes
    }

    fn node_or_new(&mut self, name: &str, nodes: &mut Index) -> NodeId {
        let next = self.machine.plumbing.nodes.len();
        let found = *nodes.entry(name.to_owned()).or_insert(next);
        if found == next {
            let (elevation_m, x_m, tank) = (0.0, None, None);
            self.machine.plumbing.nodes.push(Node { name: name.into(), elevation_m, x_m, tank });
        }
        NodeId::at(found)
    }

    fn section_of(&mut self, table: &Checked, sections: &Index) -> Option<SectionId> {
        let text = table.text("section")?.to_owned();
        let span = table.span_of("section");
        self.section_named(&Name { text, span }, sections)
    }

    fn part(&mut self, kind: &str, table: &Checked) -> Option<Part> {
        let restriction = || table.number("kv").map(|kv_si| Restriction { kv_si });
        Some(match kind {
            "line" => {
                let design = self.line_design(table)?;
                Part::Line(Line {
                    bore_m: design.bore_m,
                    length_m: design.length_m?,
                    roughness_m: design.roughness_m,
                    losses: design.losses,
                    fixed_friction: table.number("friction"),
                    rating_pa: design.rating_pa,
                    material: design.material,
                    sag_m: design.sag_m,
                })
            }
            "valve" => Part::Valve(self.valve(table)?),
            "strainer" => Part::Strainer(restriction()?),
            "meter" => Part::Meter(restriction()?),
            "orifice" => Part::Orifice(self.orifice(table, "bore")?),
            "check_valve" => Part::CheckValve(check_valve(table)?),
            _ => Part::Pump(self.pump(table)?),
        })
    }

    fn tips(&mut self, top: &Checked, nodes: &Index) {
        let mut known = self.tip_index();
        let sections = self.section_index();
        for (name, table) in top.named("tip") {
            if known.contains_key(&name.text) {
                self.duplicate("tip", name);
            }
            let section = self.section_of(table, &sections);
            let (design, node) = (self.tip_design(table), self.node_at(table, "node", nodes));
            let (Some(design), Some(node)) = (design, node) else { continue };
            known.entry(name.text.clone()).or_insert(self.machine.plumbing.tips.len());
            let x_m = table.number("x").or(self.machine.plumbing.node(node).x_m).unwrap_or(0.0);
            self.machine.plumbing.tips.push(design.tip(name.text.clone(), node, section, x_m));
        }
    }

    fn gauges(&mut self, top: &Checked, nodes: &Index) {
        for (name, table) in top.named("gauge") {
            if self.machine.plumbing.gauges.iter().any(|gauge| gauge.name == name.text) {
                self.duplicate("gauge", name);
            }
            if let Some(node) = self.node_at(table, "node", nodes) {
                self.machine.plumbing.gauges.push(Gauge { name: name.text.clone(), node });
            }
        }
    }

    fn tees(&mut self, top: &Checked, nodes: &Index, branches: &Index) {
        for (name, table) in top.named("tee") {
            let Some(node) = self.node_at(table, "node", nodes) else { continue };
            let mut arms: Vec<Name> = table.names("run").to_vec();
            if arms.len() != 2 {
                let help = "such as run = [\"left\", \"right\"]".to_owned();
                self.fault(table.span_of("run"), "the run of a tee has two arms", Some(help));
                continue;
            }
            let side_arm = table.text("side_arm").unwrap_or_default().to_owned();
            arms.push(Name { text: side_arm, span: table.span_of("side_arm") });
            let found: Vec<BranchId> =
                arms.iter().filter_map(|arm| self.arm(arm, node, branches)).collect();
            let [a, b, side_arm] = found[..] else { continue };
            let is_line = |id: BranchId| self.machine.plumbing.branch(id).part.line().is_some();
            if !is_line(a) || !is_line(b) {
                let help = "the losses are counted on the bore of the run".to_owned();
                self.fault(name.span.clone(), "the run of a tee is made of lines", Some(help));
                continue;
            }
            self.machine.plumbing.tees.push(Tee { node, run: [a, b], side_arm });
        }
    }

    /// The branch `arm` names, which must end at `node`.
    fn arm(&mut self, arm: &Name, node: NodeId, branches: &Index) -> Option<BranchId> {
        let id = self.branch_named(arm, branches)?;
        let branch = self.machine.plumbing.branch(id);
        if branch.from == node || branch.to == node {
            return Some(id);
        }
        let name = &self.machine.plumbing.node(node).name;
        let message = format!("\"{}\" does not end at the tee's node \"{name}\"", arm.text);
        self.fault(arm.span.clone(), message, None);
        None
    }

    fn section_ends(&mut self, top: &Checked, nodes: &Index, branches: &Index) {
        let sections = self.section_index();
        for (name, table) in top.named("boom_section") {
            let Some(&at) = sections.get(&name.text) else { continue };
            let valve = table.text("valve").and_then(|text| {
                self.branch_named(
                    &Name { text: text.to_owned(), span: table.span_of("valve") },
                    branches,
                )
            });
            let feed_end = self.node_at(table, "feed_end", nodes);
            let far = table.names("far_ends").to_vec();
            let far_ends: Vec<NodeId> = far
                .iter()
                .filter_map(|end| self.find("node", nodes, &end.text, end.span.clone()))
                .map(NodeId::at)
                .collect();
            let section = &mut self.machine.plumbing.sections[at];
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
