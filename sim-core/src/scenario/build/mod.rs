//! From checked values to the scenario's model.

mod air;
mod boom;
mod controls;
mod course;
mod limits;
mod liquid;
mod long;
mod names;
mod parts;
mod pump;
mod purge;
mod repeat;
mod roles;
pub(super) mod size;
mod start;
pub(super) mod states;
mod steps;
mod whole;

use super::fault::Fault;
use super::files::Files;
use super::model::{Scenario, Travel};
use super::value::{Checked, Span};
use super::walk::Walk;
use crate::fluids::Particles;
use crate::measures::Measure;
use crate::plumbing::{BranchId, Machine};
use crate::procedure::{Course, ModelOptions, Product};

/// A scenario under construction.
pub(super) struct Build<'a> {
    pub(super) walk: Walk,
    pub(super) files: &'a dyn Files,
    pub(super) machine: Machine,
    /// Whether the machine comes from the short form.
    pub(super) has_boom: bool,
    /// Lines that start otherwise than the rest: air or a concentration.
    pub(super) own: Vec<(BranchId, Option<f64>)>,
}

/// The scenario of the file `top`, or every fault found.
pub(super) fn build(top: &Checked, files: &dyn Files) -> Result<Scenario, Vec<Fault>> {
    let (walk, machine) = (Walk::default(), Machine::default());
    let has_boom = top.has("boom");
    let mut build = Build { walk, files, machine, has_boom, own: Vec::new() };
    let liquid = build.liquid(top.table("liquid"));
    build.short_form(top);
    build.long_form(top);
    build.air_supply(top);
    build.roles(top);
    build.check_network(top);
    if !build.walk.faults.is_empty() {
        return Err(build.walk.faults);
    }
    let steps = build.steps(top);
    let start = build.start(top.table("start"));
    let limits = build.limits(top.table("limits"));
    if !build.walk.faults.is_empty() {
        return Err(build.walk.faults);
    }
    let travel = top.table("travel").and_then(|travel| {
        Some(Travel { speed_m_s: travel.number("speed")?, rate_m: travel.number("rate") })
    });
    Ok(Scenario {
        title: top.text("title").unwrap_or_default().to_owned(),
        about: top.text("about").map(str::to_owned),
        machine: build.machine,
        course: Course {
            liquid: liquid.ok_or_else(Vec::new)?,
            product: product(top.table("product")),
            start,
            steps,
            rinsed_to: limits.most(Measure::HighestTipConcentration),
            model: model(top.table("model")),
        },
        travel,
        limits,
    })
}

/// What `table` says of the model.
fn model(table: Option<&Checked>) -> ModelOptions {
    let flag = |key: &str| table.and_then(|table| table.flag(key)).unwrap_or(true);
    ModelOptions {
        velocity_head: flag("velocity_head"),
        dispersion: flag("dispersion"),
        laminar_tail: flag("laminar_tail"),
        longest_move_s: table
            .and_then(|table| table.number("longest_move"))
            .unwrap_or(ModelOptions::default().longest_move_s),
        holdup: flag("holdup"),
        fixed_front: None,
    }
}

/// What `table` says of the product.
fn product(table: Option<&Checked>) -> Product {
    let Some(table) = table else { return Product::default() };
    let particles =
        table.number("particle").zip(table.number("density")).zip(table.number("solids"));
    Product {
        price_per_m3: table.number("price"),
        currency: table.text("currency").unwrap_or_default().to_owned(),
        particles: particles.map(|((diameter_m, density_kg_m3), share)| Particles {
            diameter_m,
            density_kg_m3,
            share,
        }),
    }
}

impl Build<'_> {
    fn fault(&mut self, span: Span, message: impl Into<String>, help: Option<String>) {
        self.walk.fault(span, message.into(), help);
    }

    /// The text of the file that `key` of `table` names, or a fault that this `kind` of file cannot be
    /// read.
    fn side_file(&mut self, table: &Checked, key: &str, kind: &str) -> Option<(String, String)> {
        let path = table.text(key)?.to_owned();
        match self.files.read(&path) {
            Ok(text) => Some((path, text)),
            Err(why) => {
                let message = format!("the {kind} \"{path}\" cannot be read: {why}");
                self.fault(table.span_of(key), message, None);
                None
            }
        }
    }
}
