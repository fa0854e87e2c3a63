//! What must hold before anything is solved.

use super::filling::Mixed;
use super::instant::Instant;
use super::solver::Solver;
use crate::fluids::Liquid;
use crate::plumbing::{Unsound, figure};
use crate::procedure::Settings;

fn as_long(list: &'static str, given: usize, needed: usize) -> Result<(), Unsound> {
    if given == needed { Ok(()) } else { Err(Unsound::Length { list, given, needed }) }
}

/// Whether the figures of `liquid` are those of a liquid.
pub(super) fn check_liquid(liquid: &Liquid) -> Result<(), Unsound> {
    let thing = || format!("liquid {}", liquid.name);
    let above_0 = |name, value| figure(thing, name, value, "a number above 0", value > 0.0);
    above_0("density_kg_m3", liquid.density_kg_m3)?;
    above_0("viscosity_pa_s", liquid.viscosity_pa_s)?;
    let vapour_pa = liquid.vapour_pressure_pa;
    figure(thing, "vapour_pressure_pa", vapour_pa, "a number from 0 on", vapour_pa >= 0.0)
}

impl Solver<'_> {
    /// Whether plumbing, liquid and `settings` can be computed.
    pub(super) fn check(&self, settings: &Settings) -> Result<(), Unsound> {
        match &self.unsound {
            Some(unsound) => Err(unsound.clone()),
            None => settings.check(self.plumbing),
        }
    }

    /// Whether a step of `dt_s` may start from `before`.
    pub(super) fn check_step(&self, before: &Instant, dt_s: f64) -> Result<(), Unsound> {
        let plumbing = self.plumbing;
        as_long("flow_m3_s", before.flow_m3_s.len(), plumbing.branches.len())?;
        as_long("tip_flow_m3_s", before.tip_flow_m3_s.len(), plumbing.tips.len())?;
        as_long("total_pressure_pa", before.total_pressure_pa.len(), plumbing.nodes.len())?;
        figure(|| "the step".into(), "dt_s", dt_s, "a number above 0", dt_s > 0.0)
    }

    /// Whether `mixed` speaks of every branch and node, and the solver counts air.
    pub(super) fn check_mixed(&self, mixed: &Mixed) -> Result<(), Unsound> {
        let nodes = self.plumbing.nodes.len();
        as_long("filling", mixed.filling.len(), self.plumbing.branches.len())?;
        as_long("stores", mixed.stores.len(), nodes)?;
        as_long("airy", mixed.airy.len(), nodes)?;
        if let Some((node, _)) = mixed.inlet {
            crate::plumbing::refers(|| "the inlet of air".into(), "node", node, nodes)?;
        }
        let air_links = self.circuit.links.len() - self.circuit.pocket_from;
        as_long("links for air", air_links, self.circuit.node.len() + 1)
    }
}
