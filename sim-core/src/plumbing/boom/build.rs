//! Puts a design together, part by part.

use super::design::{BoomDesign, LineDesign, SectionDesign};
use super::part_names::{digits, make_unique, plain_name, point_name};
use super::tube::{Point, tube};
use crate::plumbing::{
    BranchId, Line, Machine, NodeId, Part, Restriction, Roles, Section, SectionId, Side, Sketch,
    TankId,
};

/// Shortest hose that geometry gives, m: something always bridges header and tube.
const SHORTEST_HOSE_M: f64 = 0.3;

/// The machine of `design`.
///
/// # Panics
/// Where [`super::check`] finds something wrong with the design: ask it first.
///
/// Nodes and parts carry the names a user may refer to: `tank`, `pump-in`, `pump-out`, `header`,
/// `return-header`; branches `suction`, `pump`, `main`, `SECTION-valve`, `SECTION-hose`,
/// `SECTION-tube-NN`, `SECTION-return`, `return-valve`, `return-main`, `agitation`, `bypass`,
/// `relief`; tips `SECTION-NN`. With compressed air: node `air-inlet`; branches `air-check`,
/// `back-valve`, `back`.
pub fn build(design: &BoomDesign) -> Machine {
    let mut work = BoomDraft::new(design);
    let (pump, pump_out) = work.suction_and_pump();
    let bypass = work.back_to_tank(pump_out);
    let (main_starts, main, header) = work.main(pump_out);
    let return_header = design.return_path.as_ref().map(|_| work.boom_node("return-header", 0.0));
    let covered: f64 = design.sections.iter().map(|s| s.tips as f64 * s.spacing_m).sum();
    let mut left_m = -0.5 * covered;
    for (i, section) in design.sections.iter().enumerate() {
        work.section(SectionId::at(i), section, left_m, header, return_header);
        left_m += section.tips as f64 * section.spacing_m;
    }
    let return_valve = work.return_main(return_header);
    let roles = Roles {
        pump: Some(pump),
        main: Some(main),
        header: Some(header),
        gauge: Some(header),
        bypass,
        return_valve,
        return_header,
        air_inlet: design.air.as_ref().map(|_| main_starts),
        back_valve: work.way_back(main_starts),
        tank: Some(work.tank),
    };
    Machine { plumbing: work.sketch.finish(), roles }
}

pub(super) struct BoomDraft<'a> {
    pub(super) design: &'a BoomDesign,
    pub(super) sketch: Sketch,
    tank: TankId,
    inlet: Option<NodeId>,
    names: Vec<String>,
}

impl<'a> BoomDraft<'a> {
    fn new(design: &'a BoomDesign) -> Self {
        let mut sketch = Sketch::default();
        let tank = sketch.tank("tank", design.tank.surface_above_boom_m);
        let stored = &mut sketch.plumbing_mut().tanks[tank.index()];
        (stored.capacity_m3, stored.holds_m3) = (design.tank.capacity_m3, design.tank.holds_m3);
        (stored.heel_m3, stored.concentration) = (design.tank.heel_m3, design.tank.concentration);
        let mut names: Vec<String> = Vec::new();
        for section in &design.sections {
            names.push(plain_name(&section.name));
        }
        make_unique(&mut names);
        Self { design, sketch, tank, inlet: None, names }
    }

    pub(super) fn add(
        &mut self,
        name: &str,
        ends: [NodeId; 2],
        part: Part,
        side: Side,
    ) -> BranchId {
        let id = self.sketch.branch(name, ends[0], ends[1], part);
        self.sketch.place(id, side, None);
        id
    }

    /// A node at `x_m` along the boom, lifted as the boom rolls.
    fn boom_node(&mut self, name: &str, x_m: f64) -> NodeId {
        // No roll lifts by nothing, whichever the side: no minus sign before a zero.
        let node = self.sketch.node(name, x_m * self.design.roll_rad.sin() + 0.0);
        self.sketch.plumbing_mut().nodes[node.index()].x_m = Some(x_m);
        node
    }

    /// Where everything but the suction enters the tank.
    pub(super) fn tank_inlet(&mut self) -> NodeId {
        if let Some(inlet) = self.inlet {
            return inlet;
        }
        let height = self.design.tank.inlet_above_boom_m;
        let inlet = self.sketch.tank_node("tank-inlet", self.tank, height);
        self.inlet = Some(inlet);
        inlet
    }

    fn suction_and_pump(&mut self) -> (BranchId, NodeId) {
        let design = self.design;
        let height = design.pump_above_boom_m;
        let outlet = height.min(design.tank.surface_above_boom_m);
        let mut last = self.sketch.tank_node("tank", self.tank, outlet);
        if let Some(kv_si) = design.suction_strainer_kv_si {
            let next = self.sketch.node("suction-strainer-out", outlet);
            let part = Part::Strainer(Restriction { kv_si });
            self.add("suction-strainer", [last, next], part, Side::Suction);
            last = next;
        }
        let pump_in = self.sketch.node("pump-in", height);
        self.add("suction", [last, pump_in], line(&design.suction, 0.0), Side::Suction);
        let pump_out = self.sketch.node("pump-out", height);
        self.sketch.gauge("pump", pump_out);
        let part = Part::Pump(design.pump.clone());
        (self.add("pump", [pump_in, pump_out], part, Side::Feed), pump_out)
    }

    /// Agitation, bypass and relief; the bypass valve, if fitted.
    fn back_to_tank(&mut self, pump_out: NodeId) -> Option<BranchId> {
        let design = self.design;
        if let Some(orifice) = &design.agitation {
            let ends = [pump_out, self.tank_inlet()];
            self.add("agitation", ends, Part::Orifice(orifice.clone()), Side::Tank);
        }
        if let Some(relief) = &design.relief {
            let ends = [pump_out, self.tank_inlet()];
            self.add("relief", ends, Part::CheckValve(relief.clone()), Side::Tank);
        }
        design.bypass.as_ref().map(|valve| {
            let ends = [pump_out, self.tank_inlet()];
            self.add("bypass", ends, Part::Valve(valve.clone()), Side::Tank)
        })
    }

    /// Strainer, meter and main up to the header: where the main starts, the main, and where it ends.
    fn main(&mut self, pump_out: NodeId) -> (NodeId, BranchId, NodeId) {
        let design = self.design;
        let mut last = pump_out;
        let fitted = [
            ("strainer", design.strainer_kv_si.map(|kv_si| Part::Strainer(Restriction { kv_si }))),
            ("meter", design.meter_kv_si.map(|kv_si| Part::Meter(Restriction { kv_si }))),
        ];
        for (name, part) in fitted {
            let Some(part) = part else { continue };
            let next = self.sketch.node(&format!("{name}-out"), design.pump_above_boom_m);
            self.add(name, [last, next], part, Side::Feed);
            last = next;
        }
        last = self.air_check(last);
        let header = self.boom_node("header", 0.0);
        self.sketch.gauge("boom", header);
        let main = self.add("main", [last, header], line(&design.main, 0.0), Side::Feed);
        (last, main, header)
    }

    fn return_main(&mut self, return_header: Option<NodeId>) -> Option<BranchId> {
        let path = self.design.return_path.as_ref()?;
        let after = self.boom_node("return-valve-out", 0.0);
        let ends = [return_header?, after];
        let valve = self.add("return-valve", ends, Part::Valve(path.valve.clone()), Side::Return);
        let ends = [after, self.tank_inlet()];
        self.add("return-main", ends, line(&path.main, 0.0), Side::Return);
        Some(valve)
    }

    fn section(
        &mut self,
        id: SectionId,
        section: &SectionDesign,
        left_m: f64,
        header: NodeId,
        return_header: Option<NodeId>,
    ) {
        let name = self.names[id.index()].clone();
        let tube = tube(section, left_m);
        let nodes: Vec<NodeId> = (0..tube.points.len())
            .map(|k| {
                let (point, x_m) = tube.points[k];
                let node = self.boom_node(&point_name(&name, point, k == 0), x_m);
                if let Point::Tip(i) = point {
                    let body = format!("{name}-{:02}", i + 1);
                    let beside = section.beside.iter().map(|design| {
                        let position = design.position.as_deref().unwrap_or_default();
                        (design, format!("{body}-{position}"))
                    });
                    for (design, name) in [(&section.tip, body.clone())].into_iter().chain(beside) {
                        let tip = design.clone().tip(name, node, Some(id), x_m);
                        self.sketch.plumbing_mut().tips.push(tip);
                    }
                }
                node
            })
            .collect();
        let arms = self.tube_lines(id, section, &name, &tube.points, &nodes, tube.feed);
        let valve_out = self.boom_node(&format!("{name}-valve-out"), 0.0);
        let part = Part::Valve(section.valve.clone());
        let valve = self.add(&format!("{name}-valve"), [header, valve_out], part, Side::Feed);
        let (feed, extra) = (nodes[tube.feed], self.design.hose_extra_m);
        let length = |x_m: f64| (x_m.abs() + extra).max(SHORTEST_HOSE_M);
        let hose = line(&section.hose, length(tube.points[tube.feed].1));
        let hose = self.add(&format!("{name}-hose"), [valve_out, feed], hose, Side::Feed);
        self.sketch.place(valve, Side::Feed, Some(id));
        self.sketch.place(hose, Side::Feed, Some(id));
        if let [Some(before), Some(after)] = arms {
            self.sketch.tee(feed, [before, after], hose);
        }
        let returning = tube.points.iter().zip(&nodes).filter(|((p, _), _)| *p == Point::Return);
        let returning: Vec<(f64, NodeId)> = returning.map(|((_, x), node)| (*x, *node)).collect();
        let several = returning.len() > 1;
        for (k, (x_m, node)) in returning.into_iter().enumerate() {
            let Some(to) = return_header else { continue };
            let suffix = if several { ["-left", "-right"][k] } else { "" };
            let hose = line(&section.return_hose, length(x_m));
            let hose = self.add(&format!("{name}-return{suffix}"), [node, to], hose, Side::Return);
            self.sketch.place(hose, Side::Return, Some(id));
        }
        self.finish_section(section, valve, &tube.points, &nodes, tube.feed);
    }

    /// The lines along a tube, each leading away from the feed; those that touch the feed.
    fn tube_lines(
        &mut self,
        id: SectionId,
        section: &SectionDesign,
        name: &str,
        points: &[(Point, f64)],
        nodes: &[NodeId],
        feed: usize,
    ) -> [Option<BranchId>; 2] {
        let mut arms = [None, None];
        let digits = digits(points.len());
        for k in 0..points.len() - 1 {
            let is_tip = |k: usize| matches!(points[k].0, Point::Tip(_));
            let bodies = match (is_tip(k), is_tip(k + 1), points[k].0, points[k + 1].0) {
                (true, true, ..) => 1.0,
                (_, _, Point::Feed, _) | (_, _, _, Point::Feed)
                    if (1..points.len() - 1).contains(&feed) =>
                {
                    0.5
                }
                _ => 0.0,
            };
            let length_m = points[k + 1].1 - points[k].1;
            let tube = &section.tube.line;
            let losses = tube.losses + bodies * section.body_losses;
            // A tube hangs between the bodies that hold it; its short ends do not.
            let sag_m = if is_tip(k) && is_tip(k + 1) { tube.sag_m } else { 0.0 };
            // What a tube loses by is in each of its pieces: no fitting to be bought.
            let fittings = Vec::new();
            let part = Part::Line(Line { length_m, losses, fittings, sag_m, ..tube.clone() });
            let ends = if k < feed { [nodes[k + 1], nodes[k]] } else { [nodes[k], nodes[k + 1]] };
            let branch = self.add(&format!("{name}-tube-{k:0digits$}"), ends, part, Side::Boom);
            self.sketch.place(branch, Side::Boom, Some(id));
            if k + 1 == feed {
                arms[0] = Some(branch);
            } else if k == feed {
                arms[1] = Some(branch);
            }
        }
        arms
    }

    fn finish_section(
        &mut self,
        section: &SectionDesign,
        valve: BranchId,
        points: &[(Point, f64)],
        nodes: &[NodeId],
        feed: usize,
    ) {
        let tips = points.iter().zip(nodes).enumerate();
        let tips: Vec<(usize, NodeId)> = tips
            .filter(|(_, ((point, _), _))| matches!(point, Point::Tip(_)))
            .map(|(k, (_, node))| (k, *node))
            .collect();
        let (first, last) = (tips[0], tips[tips.len() - 1]);
        let far_ends = if feed < first.0 {
            vec![last.1]
        } else if feed > last.0 {
            vec![first.1]
        } else {
            vec![first.1, last.1]
        };
        self.sketch.plumbing_mut().sections.push(Section {
            name: section.name.clone(),
            valve: Some(valve),
            feed_end: Some(nodes[feed]),
            far_ends,
        });
    }
}

/// The line of `design`, its length from geometry where it has none.
pub(super) fn line(design: &LineDesign, from_geometry_m: f64) -> Part {
    let length_m = if design.from_geometry { from_geometry_m } else { design.line.length_m };
    Part::Line(Line { length_m, ..design.line.clone() })
}

#[cfg(test)]
mod tests;
