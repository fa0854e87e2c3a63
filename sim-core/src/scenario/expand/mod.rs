//! A scenario written out in the long form, nothing left to defaults.

mod air;
mod json;
mod parts;
mod steps;
mod writer;

use super::model::Scenario;
use crate::measures::Measure;
use crate::plumbing::Plumbing;
use crate::procedure::{ProbePlace, Product, RecordOptions};
use crate::units::write_exact;
pub(super) use writer::Writer;

pub use json::expand_json;

/// `scenario` as a long-form scenario file that reads back to the same scenario.
pub fn expand(scenario: &Scenario) -> String {
    let mut out = Writer::new(scenario.units);
    out.put("title", &scenario.title);
    out.put("about", scenario.about.as_ref());
    out.put("units", scenario.units.name());
    liquid(&mut out, scenario);
    model_and_travel(&mut out, scenario);
    limits(&mut out, scenario);
    parts::plumbing(&mut out, &scenario.machine.plumbing, &scenario.course.start);
    parts::roles(&mut out, &scenario.machine);
    record(&mut out, &scenario.machine.plumbing, &scenario.course.record);
    if let Some(air) = &scenario.machine.plumbing.air {
        air::air(&mut out, &scenario.machine.plumbing, air);
    }
    steps::steps(&mut out, &scenario.machine, &scenario.course.steps);
    out.finish()
}

fn liquid(out: &mut Writer, scenario: &Scenario) {
    let liquid = &scenario.course.liquid;
    out.table("liquid");
    out.put("name", &liquid.name);
    out.put("temperature", liquid.temperature_c);
    out.put("density", liquid.density_kg_m3);
    out.put("viscosity", liquid.viscosity_pa_s);
    out.put("vapour_pressure", liquid.vapour_pressure.pa);
    out.put("surface_tension", liquid.surface_tension_n_m);
    out.put("caution", liquid.caution.as_ref());
}

fn model_and_travel(out: &mut Writer, scenario: &Scenario) {
    out.table("model");
    let model = &scenario.course.model;
    out.put("velocity_head", model.velocity_head);
    out.put("dispersion", model.dispersion);
    out.put("laminar_tail", model.laminar_tail);
    out.put("longest_move", model.longest_move_s);
    out.put("air_tolerance", model.air_tolerance);
    out.put("holdup", model.holdup);
    out.put("slip", model.slip);
    out.table("start");
    let start = &scenario.course.start;
    out.put("empty", start.empty.then_some(true));
    out.put("lines_hold", (!start.empty).then_some(start.lines_hold));
    out.put("flow", start.flowing.then_some("established"));
    out.put("tanks_hold", start.tanks_hold);
    out.put("full_from", start.full_from);
    product(out, scenario);
    if let Some(travel) = &scenario.course.travel {
        out.table("travel");
        out.put("speed", travel.speed_m_s);
        out.put("rate", travel.rate_m);
    }
}

fn record(out: &mut Writer, plumbing: &Plumbing, record: &RecordOptions) {
    if !record.lines.is_empty() || record.most_moments.is_some() {
        out.table("record");
        let lines = record.lines.iter().map(|id| plumbing.branch(*id).name.as_str());
        out.put("lines", (!record.lines.is_empty()).then(|| lines.collect::<Vec<_>>()));
        out.put("moments", record.most_moments);
    }
    for probe in &record.probes {
        out.named("probe", &probe.name);
        match probe.place {
            ProbePlace::Node(node) => out.put("at", &plumbing.node(node).name),
            ProbePlace::Along { line, distance_m } => {
                out.put("line", &plumbing.branch(line).name);
                out.put("distance", distance_m);
            }
        }
    }
}

fn product(out: &mut Writer, scenario: &Scenario) {
    let product = &scenario.course.product;
    if *product == Product::default() {
        return;
    }
    out.table("product");
    out.put("price", product.price_per_m3);
    out.put("currency", (!product.currency.is_empty()).then_some(&product.currency));
    if let Some(particles) = &product.particles {
        out.put("particle", particles.diameter_m);
        out.put("density", particles.density_kg_m3);
        out.put("solids", particles.share);
    }
}

fn limits(out: &mut Writer, scenario: &Scenario) {
    out.table("limits");
    for (measure, key) in Measure::ALL.iter().filter_map(|m| Some((*m, m.limit_key()?))) {
        let Some(limit) = scenario.limits.on(measure) else {
            if measure.usual().is_some() {
                out.put(key, "off");
            }
            continue;
        };
        let bounds = [("at_most", limit.at_most), ("at_least", limit.at_least)];
        let bounds = bounds.into_iter().filter_map(|(bound, value)| {
            Some(format!(
                "{bound} = \"{}\", ",
                write_exact(value?, measure.quantity(), scenario.units)
            ))
        });
        let (bounds, source) = (bounds.collect::<String>(), writer::quoted(&limit.source));
        out.plain(key, &format!("{{ {bounds}source = {source} }}"));
    }
}
