//! From checked values to the scenario's model.

mod air;
mod boom;
mod controls;
mod course;
mod given;
mod ignored;
mod long;
mod names;
mod parts;
mod pump;
mod purge;
mod record;
pub(super) mod repeat;
mod roles;
mod spreadsheet_date;
pub(super) mod states;
mod step_name;
mod steps;
mod whole;

use super::fault::InputFault;
use super::files::Files;
use super::model::{Noted, Scenario};
use super::value::{Checked, Span};
use super::walk::Walk;
use crate::fluids::water;
use crate::measures::Measure;
use crate::plumbing::{BranchId, Machine};
use crate::procedure::{Course, Travel};
use crate::units::UnitSystem;

/// A scenario under construction.
pub(super) struct Build<'a> {
    pub(super) walk: Walk,
    pub(super) files: &'a dyn Files,
    pub(super) machine: Machine,
    /// Whether the machine comes from the short form.
    pub(super) has_boom: bool,
    /// Lines that start otherwise than the rest: air or a concentration.
    pub(super) own: Vec<(BranchId, Option<f64>)>,
    /// Density of the liquid, kg/m3.
    pub(super) density_kg_m3: f64,
    /// Pressure of the air in lines that start with air, Pa gauge, where the file gives one.
    pub(super) air_pa: Vec<(BranchId, f64)>,
}

/// The scenario of the file `top` with what it passes over, or every fault found.
///
/// `walk` has read it, with its own faults: what stands in for values at fault keeps the search for more of them going.
pub(super) fn build(
    top: &Checked,
    files: &dyn Files,
    walk: Walk,
) -> Result<Noted, Vec<InputFault>> {
    let machine = Machine::default();
    let has_boom = top.has("boom");
    let (own, air_pa) = (Vec::new(), Vec::new());
    let density_kg_m3 = water(20.0).density_kg_m3;
    let mut build = Build { walk, files, machine, has_boom, own, density_kg_m3, air_pa };
    let liquid = build.liquid(top.table("liquid"));
    build.density_kg_m3 = liquid.as_ref().map_or(density_kg_m3, |liquid| liquid.density_kg_m3);
    build.short_form(top);
    build.long_form(top);
    build.air_supply(top);
    build.roles(top);
    build.check_network(top);
    let steps = build.steps(top);
    let start = build.start(top.table("start"));
    let limits = build.limits(top.table("limits"));
    let record = build.record(top);
    if !build.walk.faults.is_empty() {
        return Err(build.walk.faults);
    }
    let travel = top.table("travel").and_then(|travel| {
        Some(Travel { speed_m_s: travel.number("speed")?, rate_m: travel.number("rate") })
    });
    let scenario = Scenario {
        title: top.text("title").unwrap_or_default().to_owned(),
        about: top.text("about").map(str::to_owned),
        units: units_of(top),
        machine: build.machine,
        course: Course {
            liquid: liquid.ok_or_else(Vec::new)?,
            product: Build::product(top.table("product")),
            start,
            steps,
            rinsed_to: limits.most(Measure::HighestTipConcentration),
            travel,
            model: Build::model(top.table("model")),
            record,
        },
        limits,
    };
    let ignored = ignored::ignored(top, &scenario);
    Ok(Noted { ignored, limits_at: Build::limits_at(top.table("limits")), scenario })
}

/// The units that `top` asks for.
fn units_of(top: &Checked) -> UnitSystem {
    top.text("units").and_then(UnitSystem::named).unwrap_or_default()
}

impl Build<'_> {
    pub(super) fn fault(
        &mut self,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.walk.fault(span, message, help);
    }

    /// A fault that things are not there, or not joined; none where faults have lost some.
    pub(super) fn fault_of_things(
        &mut self,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        if !self.walk.lost {
            self.fault(span, message, help);
        }
    }

    /// Nothing where a thing of the model is wanted, and the fault that says why.
    pub(super) fn refuse<T>(
        &mut self,
        span: Span,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Option<T> {
        self.walk.refuse(span, message, help)
    }

    /// The text of the file that `key` of `table` names, or a fault that this `kind` of file cannot be
    /// read.
    fn side_file(&mut self, table: &Checked, key: &str, kind: &str) -> Option<(String, String)> {
        let path = table.text(key)?.to_owned();
        match self.files.read(&path) {
            Ok(text) => Some((path, text)),
            Err(why) => {
                let message = format!("the {kind} \"{path}\" cannot be read: {why}");
                let help = "a scenario names files in its own folder or below, such as \
                            \"pumps/mine.csv\"; the option --files-from-anywhere allows others";
                self.refuse(table.span_of(key), message, help)
            }
        }
    }
}
