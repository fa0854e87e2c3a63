//! A scenario written out in the long form, nothing left to defaults.

mod air;
mod json;
mod parts;
mod steps;
mod writer;

use super::model::Scenario;
use crate::measures::Measure;
use crate::procedure::Product;
use crate::units::{Quantity, write_exact};
use writer::Writer;

pub use json::expand_json;

/// `scenario` as a long-form scenario file that reads back to the same scenario.
pub fn expand(scenario: &Scenario) -> String {
    let mut out = Writer::default();
    out.text("title", &scenario.title);
    if let Some(about) = &scenario.about {
        out.text("about", about);
    }
    liquid(&mut out, scenario);
    model_and_travel(&mut out, scenario);
    limits(&mut out, scenario);
    parts::plumbing(&mut out, &scenario.machine.plumbing, &scenario.course.start.own);
    parts::roles(&mut out, &scenario.machine);
    if let Some(air) = &scenario.machine.plumbing.air {
        air::air(&mut out, &scenario.machine.plumbing, air);
    }
    steps::steps(&mut out, &scenario.machine, &scenario.course.steps);
    out.finish()
}

fn liquid(out: &mut Writer, scenario: &Scenario) {
    let liquid = &scenario.course.liquid;
    out.table("liquid");
    out.text("name", &liquid.name);
    out.quantity("temperature", liquid.temperature_c, Quantity::Temperature);
    out.quantity("density", liquid.density_kg_m3, Quantity::Density);
    out.quantity("viscosity", liquid.viscosity_pa_s, Quantity::Viscosity);
    out.quantity("vapour_pressure", liquid.vapour_pressure.pa, Quantity::Pressure);
    if let Some(caution) = &liquid.caution {
        out.text("caution", caution);
    }
}

fn model_and_travel(out: &mut Writer, scenario: &Scenario) {
    out.table("model");
    let model = &scenario.course.model;
    out.plain("velocity_head", &model.velocity_head.to_string());
    out.plain("dispersion", &model.dispersion.to_string());
    out.plain("laminar_tail", &model.laminar_tail.to_string());
    out.quantity("longest_move", model.longest_move_s, Quantity::Duration);
    out.plain("holdup", &model.holdup.to_string());
    out.table("start");
    if scenario.course.start.empty {
        out.plain("empty", "true");
    } else {
        out.quantity("lines_hold", scenario.course.start.lines_hold, Quantity::Share);
    }
    out.quantity("tanks_hold", scenario.course.start.tanks_hold, Quantity::Share);
    out.quantity("full_from", scenario.course.start.full_from, Quantity::Share);
    product(out, scenario);
    if let Some(travel) = &scenario.travel {
        out.table("travel");
        out.quantity("speed", travel.speed_m_s, Quantity::Speed);
        if let Some(rate_m) = travel.rate_m {
            out.quantity("rate", rate_m, Quantity::ApplicationRate);
        }
    }
}

fn product(out: &mut Writer, scenario: &Scenario) {
    let product = &scenario.course.product;
    if *product == Product::default() {
        return;
    }
    out.table("product");
    out.optional("price", product.price_per_m3, Quantity::Price);
    out.text("currency", &product.currency);
    if let Some(particles) = &product.particles {
        out.quantity("particle", particles.diameter_m, Quantity::Bore);
        out.quantity("density", particles.density_kg_m3, Quantity::Density);
        out.quantity("solids", particles.share, Quantity::Share);
    }
}

fn limits(out: &mut Writer, scenario: &Scenario) {
    out.table("limits");
    for (measure, key) in Measure::ALL.iter().filter_map(|m| Some((*m, m.limit_key()?))) {
        let Some(limit) = scenario.limits.on(measure) else {
            if measure.usual().is_some() {
                out.text(key, "off");
            }
            continue;
        };
        let bounds = [("at_most", limit.at_most), ("at_least", limit.at_least)];
        let bounds = bounds.into_iter().filter_map(|(bound, value)| {
            Some(format!("{bound} = \"{}\", ", write_exact(value?, measure.quantity())))
        });
        let (bounds, source) = (bounds.collect::<String>(), writer::quoted(&limit.source));
        out.plain(key, &format!("{{ {bounds}source = {source} }}"));
    }
}
