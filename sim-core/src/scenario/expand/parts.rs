//! The plumbing, one named table a thing.

use super::writer::Writer;
use crate::plumbing::{
    Branch, BranchId, Machine, NodeId, Opening, Part, Plumbing, Pump, Section, ShutOff, Side, Tip,
    Valve,
};
use crate::units::{Quantity as Q, write_exact};
use std::collections::BTreeMap;

/// Writes tanks, nodes, sections, branches, tips, gauges and tees of `plumbing`, and what the lines of
/// `own` hold at the start.
pub(super) fn plumbing(out: &mut Writer, plumbing: &Plumbing, own: &[(BranchId, Option<f64>)]) {
    let own: BTreeMap<usize, Option<f64>> =
        own.iter().map(|(id, held)| (id.index(), *held)).collect();
    let node = |id: NodeId| plumbing.node(id).name.as_str();
    for tank in &plumbing.tanks {
        out.named("tank", &tank.name);
        out.quantity("surface", tank.surface_m, Q::Length);
        out.optional("capacity", tank.capacity_m3, Q::Volume);
        out.optional("holds", tank.holds_m3, Q::Volume);
        out.quantity("heel", tank.heel_m3, Q::Volume);
        out.optional("strength", tank.concentration, Q::Share);
    }
    for point in &plumbing.nodes {
        out.named("node", &point.name);
        out.quantity("elevation", point.elevation_m, Q::Length);
        out.optional("x", point.x_m, Q::Length);
        if let Some(connection) = point.tank {
            out.text("tank", &plumbing.tank(connection.tank).name);
        }
    }
    for section in &plumbing.sections {
        section_ends(out, plumbing, section);
    }
    for (i, branch) in plumbing.branches.iter().enumerate() {
        out.named(branch.part.kind(), &branch.name);
        out.text("from", node(branch.from));
        out.text("to", node(branch.to));
        part(out, &branch.part);
        match own.get(&i) {
            Some(Some(concentration)) => out.quantity("holds", *concentration, Q::Share),
            Some(None) => out.text("holds", "air"),
            None => {}
        }
        placed(out, plumbing, branch);
    }
    for tip in &plumbing.tips {
        out.named("tip", &tip.name);
        out.text("node", node(tip.node));
        if let Some(section) = tip.section {
            out.text("section", &plumbing.sections[section.index()].name);
        }
        tip_figures(out, tip);
    }
    for gauge in &plumbing.gauges {
        out.named("gauge", &gauge.name);
        out.text("node", node(gauge.node));
    }
    for (i, tee) in plumbing.tees.iter().enumerate() {
        out.named("tee", &format!("{}", i + 1));
        out.text("node", node(tee.node));
        out.list("run", tee.run.iter().map(|id| plumbing.branch(*id).name.as_str()));
        out.text("side_arm", &plumbing.branch(tee.side_arm).name);
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
    let named = named.into_iter().filter_map(|(key, name)| Some((key, name?)));
    out.table("roles");
    named.for_each(|(key, name)| out.text(key, name));
}

fn section_ends(out: &mut Writer, plumbing: &Plumbing, section: &Section) {
    out.named("boom_section", &section.name);
    if let Some(valve) = section.valve {
        out.text("valve", &plumbing.branch(valve).name);
    }
    if let Some(end) = section.feed_end {
        out.text("feed_end", &plumbing.node(end).name);
    }
    let far_ends = section.far_ends.iter().map(|end| plumbing.node(*end).name.as_str());
    out.list("far_ends", far_ends);
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
    out.text("side", side);
    if let Some(section) = branch.section {
        out.text("section", &plumbing.sections[section.index()].name);
    }
}

fn part(out: &mut Writer, part: &Part) {
    match part {
        Part::Line(line) => {
            out.quantity("bore", line.bore_m, Q::Bore);
            out.quantity("length", line.length_m, Q::Length);
            out.number("losses", line.losses);
            if let Some(material) = line.material {
                out.text("material", material.name);
            }
            out.quantity("roughness", line.roughness_m, Q::Roughness);
            out.quantity("sag", line.sag_m, Q::Length);
            out.optional("rating", line.rating_pa, Q::Pressure);
            if let Some(friction) = line.fixed_friction {
                out.number("friction", friction);
            }
        }
        Part::Valve(part) => valve(out, part),
        Part::Strainer(part) | Part::Meter(part) => {
            out.quantity("kv", part.kv_si, Q::FlowCoefficient);
        }
        Part::Orifice(orifice) => {
            out.quantity("bore", orifice.bore_m, Q::Bore);
            out.number("discharge_coefficient", orifice.discharge_coefficient);
        }
        Part::CheckValve(check) => {
            out.quantity("kv", check.kv_si, Q::FlowCoefficient);
            out.quantity("opens_at", check.opens_at_pa, Q::Pressure);
        }
        Part::Pump(part) => pump(out, part),
    }
}

fn valve(out: &mut Writer, valve: &Valve) {
    out.quantity("kv", valve.kv_si, Q::FlowCoefficient);
    out.quantity("opening", valve.opening, Q::Share);
    match valve.characteristic {
        Opening::Linear => out.text("characteristic", "linear"),
        Opening::EqualPercentage { rangeability } => {
            out.text("characteristic", "equal percentage");
            out.number("rangeability", rangeability);
        }
    }
}

fn pump(out: &mut Writer, pump: &Pump) {
    let curve = &pump.curve;
    let heads = curve.flow_m3_s.iter().zip(&curve.head_m).map(|(q, h)| (*q, *h));
    points(out, "points", heads, Q::Head);
    out.quantity("speed", pump.speed, Q::Share);
    out.quantity("top_speed", pump.top_speed, Q::Share);
    points(out, "efficiency", pump.efficiency.iter().copied(), Q::Share);
    points(out, "npsh", pump.npsh_required.iter().copied(), Q::Head);
}

fn points(out: &mut Writer, key: &str, points: impl Iterator<Item = (f64, f64)>, of: Q) {
    let pair = |(x, y)| format!("[\"{}\", \"{}\"]", write_exact(x, Q::Flow), write_exact(y, of));
    let pairs: Vec<String> = points.map(pair).collect();
    if !pairs.is_empty() {
        out.plain(key, &format!("[{}]", pairs.join(", ")));
    }
}

fn tip_figures(out: &mut Writer, tip: &Tip) {
    out.quantity("x", tip.x_m, Q::Length);
    if let Some(size) = &tip.size {
        out.text("size", size);
    }
    out.quantity("flow", tip.rated_flow_m3_s, Q::Flow);
    out.quantity("at", tip.rated_at_pa, Q::Pressure);
    out.optional("body_kv", tip.body_kv_si, Q::FlowCoefficient);
    match tip.shut_off {
        ShutOff::Open => out.text("shut_off", "none"),
        ShutOff::Each => out.text("shut_off", "each"),
        ShutOff::CheckValve { opens_at_pa, reseats_at_pa, open_loss_pa } => {
            out.text("shut_off", "check valve");
            out.quantity("opens_at", opens_at_pa, Q::Pressure);
            out.quantity("reseats_at", reseats_at_pa, Q::Pressure);
            out.quantity("open_loss", open_loss_pa, Q::Pressure);
        }
    }
    out.quantity("duty", tip.duty, Q::Share);
    out.quantity("wear", tip.wear, Q::Share);
    if let Some((low, high)) = tip.window_pa {
        let pair = [low, high].map(|pa| format!("\"{}\"", write_exact(pa, Q::Pressure)));
        out.plain("window", &format!("[{}, {}]", pair[0], pair[1]));
    }
}
