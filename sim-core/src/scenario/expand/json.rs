//! A scenario as JSON: SI numbers, units in the names, for programs that do not read TOML.

use super::super::line;
use super::super::model::Scenario;
use crate::plumbing::{AirSupply, Opening, Part, Plumbing, ShutOff, Tip};
use crate::procedure::{Actuator, Control, Held, Step, Until};
use serde_json::{Value, json};

/// `scenario` as JSON with every name resolved and every number in SI.
pub fn expand_json(scenario: &Scenario) -> Value {
    let plumbing = &scenario.machine.plumbing;
    let liquid = &scenario.course.liquid;
    json!({
        "schema": "1",
        "title": scenario.title,
        "liquid": {
            "name": liquid.name,
            "temperature_c": liquid.temperature_c,
            "density_kg_m3": liquid.density_kg_m3,
            "viscosity_pa_s": liquid.viscosity_pa_s,
            "vapour_pressure_pa": liquid.vapour_pressure,
            "surface_tension_n_m": liquid.surface_tension_n_m,
        },
        "velocity_head": scenario.course.model.velocity_head,
        "start": {
            "lines_hold": scenario.course.start.lines_hold,
            "empty": scenario.course.start.empty,
            "own": scenario.course.start.own.iter()
                .map(|(id, held)| json!({ "line": plumbing.branch(*id).name, "concentration": held }))
                .collect::<Vec<_>>(),
            "tanks_hold": scenario.course.start.tanks_hold,
            "full_from": scenario.course.start.full_from,
        },
        "tanks": plumbing.tanks.iter().map(|tank| json!({
            "name": tank.name,
            "surface_m": tank.surface_m,
            "capacity_m3": tank.capacity_m3,
            "holds_m3": tank.holds_m3,
        })).collect::<Vec<_>>(),
        "nodes": plumbing.nodes.iter().map(|node| json!({
            "name": node.name,
            "elevation_m": node.elevation_m,
            "x_m": node.x_m,
            "tank": node.tank.map(|connection| &plumbing.tank(connection.tank).name),
        })).collect::<Vec<_>>(),
        "branches": plumbing.branches.iter().map(|branch| json!({
            "name": branch.name,
            "kind": branch.part.kind(),
            "from": plumbing.node(branch.from).name,
            "to": plumbing.node(branch.to).name,
            "side": branch.side,
            "section": branch.section.map(|id| &plumbing.sections[id.index()].name),
            "part": part(&branch.part),
        })).collect::<Vec<_>>(),
        "tips": plumbing.tips.iter().map(|t| tip(plumbing, t)).collect::<Vec<_>>(),
        "tees": plumbing.tees.iter().map(|tee| json!({
            "node": plumbing.node(tee.node).name,
            "run": tee.run.map(|id| &plumbing.branch(id).name),
            "side_branch": plumbing.branch(tee.side_branch).name,
        })).collect::<Vec<_>>(),
        "air": plumbing.air.as_ref().map(|supply| air(plumbing, supply)),
        "steps": scenario.course.steps.iter().map(|s| step(plumbing, s)).collect::<Vec<_>>(),
    })
}

fn part(part: &Part) -> Value {
    match part {
        Part::Line(part) => line::json(part),
        Part::Valve(valve) => json!({
            "kv_m3_s_sqrt_pa": valve.kv_si,
            "rangeability": match valve.characteristic {
                Opening::Linear => None,
                Opening::EqualPercentage { rangeability } => Some(rangeability),
            },
        }),
        Part::Strainer(part) | Part::Meter(part) => json!({ "kv_m3_s_sqrt_pa": part.kv_si }),
        Part::Orifice(orifice) => json!({
            "bore_m": orifice.bore_m,
            "discharge_coefficient": orifice.discharge_coefficient,
        }),
        Part::CheckValve(check) => {
            json!({ "kv_m3_s_sqrt_pa": check.kv_si, "opens_at_pa": check.opens_at_pa })
        }
        Part::Pump(pump) => json!({
            "flow_m3_s": pump.curve.flow_m3_s,
            "head_m": pump.curve.head_m,
            "top_speed": pump.top_speed,
        }),
    }
}

fn air(plumbing: &Plumbing, air: &AirSupply) -> Value {
    json!({
        "regulated_pa": air.regulated_pa,
        "receiver_m3": air.receiver_m3,
        "charged_to_pa": air.charged_to_pa,
        "free_air_m3_s": air.free_air_m3_s,
        "conductance_m3_s_pa": air.conductance_m3_s_pa,
        "critical_ratio": air.critical_ratio,
        "relief_pa": air.relief_pa,
        "entries": air.entries.iter().map(|entry| json!({
            "name": entry.name,
            "node": plumbing.node(entry.node).name,
        })).collect::<Vec<_>>(),
    })
}

fn tip(plumbing: &Plumbing, tip: &Tip) -> Value {
    let check = match tip.shut_off {
        ShutOff::CheckValve { opens_at_pa, reseats_at_pa, open_loss_pa } => json!({
            "opens_at_pa": opens_at_pa,
            "reseats_at_pa": reseats_at_pa,
            "open_loss_pa": open_loss_pa,
        }),
        _ => Value::Null,
    };
    json!({
        "name": tip.name,
        "node": plumbing.node(tip.node).name,
        "section": tip.section.map(|id| &plumbing.sections[id.index()].name),
        "x_m": tip.x_m,
        "rated_flow_m3_s": tip.rated_flow_m3_s,
        "rated_at_pa": tip.rated_at_pa,
        "body_kv_m3_s_sqrt_pa": tip.body_kv_si,
        "check_valve": check,
        "duty": tip.duty,
        "wear": tip.wear,
        "position": tip.position,
        "in_use": tip.in_use,
    })
}

fn step(plumbing: &Plumbing, step: &Step) -> Value {
    let branches = || plumbing.branches.iter().enumerate();
    let valves = branches().filter(|(_, branch)| matches!(branch.part, Part::Valve(_)));
    let pumps = branches().filter(|(_, branch)| branch.part.pump().is_some());
    let (quiet_for_s, receiver_at_pa) = match step.lasts.map(|lasts| lasts.until) {
        Some(Until::NoLiquid(quiet_s)) => (Some(quiet_s), None),
        Some(Until::ReceiverDown(pa)) => (None, Some(pa)),
        _ => (None, None),
    };
    let setting = |(i, name): (usize, &String), of: &[f64]| (name.clone(), json!(of[i]));
    json!({
        "name": step.name,
        "do": step.action.word(),
        "for_s": step.lasts.map(|lasts| lasts.most_s),
        "until": step.lasts.and_then(|lasts| lasts.until.word()),
        "ramp_s": step.change.ramp_s,
        "pass": step.pass.map(|(pass, _)| pass),
        "quiet_for_s": quiet_for_s,
        "receiver_at_pa": receiver_at_pa,
        "purge": step.purge.map(|purge| json!({
            "node": plumbing.node(purge.node).name,
            "pulse_on_s": purge.pulse.map(|pulse| pulse.on_s),
            "pulse_off_s": purge.pulse.map(|pulse| pulse.off_s),
        })),
        "openings": valves
            .map(|(i, branch)| setting((i, &branch.name), &step.settings.opening))
            .collect::<serde_json::Map<_, _>>(),
        "speeds": pumps
            .map(|(i, branch)| setting((i, &branch.name), &step.settings.speed))
            .collect::<serde_json::Map<_, _>>(),
        "open_tips": plumbing.tips.iter().zip(&step.settings.tip_opening)
            .filter(|(_, opening)| **opening > 0.0)
            .map(|(tip, _)| &tip.name)
            .collect::<Vec<_>>(),
        "controls": step.controls.iter().map(|c| control(plumbing, c)).collect::<Vec<_>>(),
    })
}

fn control(plumbing: &Plumbing, control: &Control) -> Value {
    let (Actuator::PumpSpeed(id) | Actuator::ValveOpening(id)) = control.by;
    let by = &plumbing.branch(id).name;
    match control.held {
        Held::Pressure { node, pa } => {
            json!({ "pressure_pa": pa, "node": plumbing.node(node).name, "by": by })
        }
        Held::Flow { branch, m3_s } => {
            json!({ "flow_m3_s": m3_s, "branch": plumbing.branch(branch).name, "by": by })
        }
    }
}
