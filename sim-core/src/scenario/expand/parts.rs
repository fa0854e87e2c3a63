//! The plumbing, one named table a thing.

use super::super::line;
use super::writer::Writer;
use crate::plumbing::{
    Branch, BranchId, Displacement, Machine, NOMINAL_PRESSURE_PA, NodeId, Opening, Part, Plumbing,
    Pump, Section, ShutOff, Side, Tip, Valve, tip_size,
};
use crate::procedure::Start;
use std::collections::BTreeMap;

/// Writes tanks, nodes, sections, branches, tips, gauges and tees of `plumbing`, and what `start` says of single lines.
pub(super) fn plumbing(out: &mut Writer, plumbing: &Plumbing, start: &Start) {
    let own: BTreeMap<usize, Option<f64>> =
        start.own.iter().map(|(id, held)| (id.index(), *held)).collect();
    let air_pa: BTreeMap<usize, f64> =
        start.air_pa.iter().map(|(id, pa)| (id.index(), *pa)).collect();
    let node = |id: NodeId| plumbing.node(id).name.as_str();
    for tank in &plumbing.tanks {
        out.named("tank", &tank.name);
        out.put("surface", tank.surface_m);
        out.put("capacity", tank.capacity_m3);
        out.put("holds", tank.holds_m3);
        out.put("heel", tank.heel_m3);
        out.put("concentration", tank.concentration);
    }
    for point in &plumbing.nodes {
        out.named("node", &point.name);
        out.put("elevation", point.elevation_m);
        out.put("x", point.x_m);
        out.put("tank", point.tank.map(|to| &plumbing.tank(to.tank).name));
    }
    for section in &plumbing.sections {
        section_ends(out, plumbing, section);
    }
    for (i, branch) in plumbing.branches.iter().enumerate() {
        out.named(branch.part.kind(), &branch.name);
        out.put("from", node(branch.from));
        out.put("to", node(branch.to));
        part(out, &branch.part);
        match own.get(&i) {
            Some(Some(concentration)) => out.put("holds", *concentration),
            Some(None) => out.put("holds", "air"),
            None => {}
        }
        out.put("air_pressure", air_pa.get(&i).copied());
        placed(out, plumbing, branch);
    }
    for tip in &plumbing.tips {
        out.named("tip", &tip.name);
        out.put("node", node(tip.node));
        out.put("section", tip.section.map(|id| &plumbing.sections[id.index()].name));
        tip_figures(out, tip);
    }
    for gauge in &plumbing.gauges {
        out.named("gauge", &gauge.name);
        out.put("node", node(gauge.node));
    }
    for (i, tee) in plumbing.tees.iter().enumerate() {
        out.named("tee", &format!("{}", i + 1));
        out.put("node", node(tee.node));
        out.put("run", tee.run.map(|id| &plumbing.branch(id).name[..]).to_vec());
        out.put("side_branch", &plumbing.branch(tee.side_branch).name);
    }
}

/// Writes which parts of `machine` play which role.
pub(super) fn roles(out: &mut Writer, machine: &Machine) {
    let (plumbing, roles) = (&machine.plumbing, &machine.roles);
    let branch = |id: Option<BranchId>| id.map(|id| plumbing.branch(id).name.as_str());
    let node = |id: Option<NodeId>| id.map(|id| plumbing.node(id).name.as_str());
    let named = [
        ("pump", branch(roles.pump)),
        ("main", branch(roles.main)),
        ("header", node(roles.header)),
        ("gauge", node(roles.gauge)),
        ("bypass", branch(roles.bypass)),
        ("return_valve", branch(roles.return_valve)),
        ("return_header", node(roles.return_header)),
        ("air_inlet", node(roles.air_inlet)),
        ("back_valve", branch(roles.back_valve)),
        ("tank", roles.tank.map(|id| plumbing.tank(id).name.as_str())),
    ];
    out.table("roles");
    named.into_iter().for_each(|(key, name)| out.put(key, name));
}

fn section_ends(out: &mut Writer, plumbing: &Plumbing, section: &Section) {
    out.named("boom_section", &section.name);
    out.put("valve", section.valve.map(|id| &plumbing.branch(id).name));
    out.put("feed_end", section.feed_end.map(|id| &plumbing.node(id).name));
    let far_ends = section.far_ends.iter().map(|end| plumbing.node(*end).name.as_str());
    out.put("far_ends", far_ends.collect::<Vec<_>>());
}

fn placed(out: &mut Writer, plumbing: &Plumbing, branch: &Branch) {
    let side = match branch.side {
        Side::Suction => "suction",
        Side::Feed => "feed",
        Side::Boom => "boom",
        Side::Return => "return",
        Side::Tank => "tank",
        Side::Other => "other",
    };
    out.put("side", side);
    out.put("section", branch.section.map(|id| &plumbing.sections[id.index()].name));
}

fn part(out: &mut Writer, part: &Part) {
    match part {
        Part::Line(part) => line::write(out, part),
        Part::Valve(part) => valve(out, part),
        Part::Strainer(part) | Part::Meter(part) => {
            out.put("kv", part.kv_si);
        }
        Part::Orifice(orifice) => {
            out.put("bore", orifice.bore_m);
            out.put("discharge_coefficient", orifice.discharge_coefficient);
        }
        Part::CheckValve(check) => {
            out.put("kv", check.kv_si);
            out.put("opens_at", check.opens_at_pa);
        }
        Part::Pump(part) => pump(out, part),
    }
}

fn valve(out: &mut Writer, valve: &Valve) {
    out.put("kv", valve.kv_si);
    out.put("opening", valve.opening);
    match valve.characteristic {
        Opening::Linear => out.put("characteristic", "linear"),
        Opening::EqualPercentage { rangeability } => {
            out.put("characteristic", "equal percentage");
            out.put("rangeability", rangeability);
        }
    }
}

fn pump(out: &mut Writer, pump: &Pump) {
    let curve = &pump.curve;
    let points = curve.flow_m3_s.iter().copied().zip(curve.head_m.iter().copied());
    match pump.displacement {
        Some(Displacement { swept_m3, turns_s, slip, slip_at_pa }) => {
            out.put("displacement", swept_m3);
            out.put("rotation", turns_s);
            out.put("slip", slip);
            out.put("slip_at", slip_at_pa);
        }
        None => out.put("points", &points.collect::<Vec<_>>()[..]),
    }
    out.put("speed", pump.speed);
    out.put("top_speed", pump.top_speed);
    out.put("efficiency", &pump.efficiency[..]);
    out.put("npsh", &pump.npsh_required[..]);
}

fn tip_figures(out: &mut Writer, tip: &Tip) {
    out.put("x", tip.x_m);
    let as_sized = |code: &&String| {
        let size = tip_size(code);
        size.is_some_and(|size| size.flow_m3_s() == tip.rated_flow_m3_s)
            && tip.rated_at_pa == NOMINAL_PRESSURE_PA
    };
    let size = tip.size.as_ref().filter(as_sized);
    out.put("size", size);
    // Beside a size, its flow would say nothing.
    out.put("flow", size.is_none().then_some(tip.rated_flow_m3_s));
    out.put("at", size.is_none().then_some(tip.rated_at_pa));
    out.put("body_kv", tip.body_kv_si);
    match tip.shut_off {
        ShutOff::Open => out.put("shut_off", "none"),
        ShutOff::Each => out.put("shut_off", "each"),
        ShutOff::CheckValve { opens_at_pa, reseats_at_pa, open_loss_pa } => {
            out.put("shut_off", "check valve");
            out.put("opens_at", opens_at_pa);
            out.put("reseats_at", reseats_at_pa);
            out.put("open_loss", open_loss_pa);
        }
    }
    out.put("duty", tip.duty);
    out.put("wear", tip.wear);
    out.put("window", tip.window_pa);
    out.put("position", tip.position.as_deref());
    out.put("in_use", (!tip.in_use).then_some(false));
}
