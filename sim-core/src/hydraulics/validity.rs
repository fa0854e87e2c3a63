//! What must hold before anything is solved.

use super::circuit::Circuit;
use super::filling::Fillings;
use super::flow_state::FlowState;
use crate::fluids::{AbsolutePressure, Liquid};
use crate::plumbing::{Invalid, Plumbing, figure, refers};

fn as_long(list: &'static str, given: usize, needed: usize) -> Result<(), Invalid> {
    if given == needed { Ok(()) } else { Err(Invalid::Length { list, given, needed }) }
}

/// Whether the figures of `liquid` are those of a liquid.
pub(super) fn check_liquid(liquid: &Liquid) -> Result<(), Invalid> {
    let thing = || format!("liquid {}", liquid.name);
    let above_0 = |name, value| figure(thing, name, value, "a number above 0", value > 0.0);
    above_0("density_kg_m3", liquid.density_kg_m3)?;
    above_0("viscosity_pa_s", liquid.viscosity_pa_s)?;
    above_0("surface_tension_n_m", liquid.surface_tension_n_m)?;
    let AbsolutePressure { pa } = liquid.vapour_pressure;
    figure(thing, "vapour_pressure", pa, "a number from 0 on", pa >= 0.0)
}

/// Whether a step of `dt_s` may start from `before`.
pub(super) fn check_step(
    plumbing: &Plumbing,
    before: &FlowState,
    dt_s: f64,
) -> Result<(), Invalid> {
    as_long("flow_m3_s", before.flow_m3_s.len(), plumbing.branches.len())?;
    as_long("tip_flow_m3_s", before.tip_flow_m3_s.len(), plumbing.tips.len())?;
    as_long("total_pressure_pa", before.total_pressure_pa.len(), plumbing.nodes.len())?;
    figure(|| "the step".into(), "dt_s", dt_s, "a number above 0", dt_s > 0.0)
}

/// Whether `fillings` speak of every branch and node, and `circuit` has links for air.
pub(super) fn check_fillings(
    plumbing: &Plumbing,
    circuit: &Circuit,
    fillings: &Fillings,
) -> Result<(), Invalid> {
    let nodes = plumbing.nodes.len();
    as_long("branches", fillings.branches.len(), plumbing.branches.len())?;
    as_long("stores", fillings.stores.len(), nodes)?;
    as_long("air_at", fillings.air_at.len(), nodes)?;
    if let Some((node, _)) = fillings.inlet {
        refers(|| "the inlet of air".into(), "node", node.index(), nodes)?;
    }
    let air_links = circuit.links.len() - circuit.pocket_from;
    as_long("links for air", air_links, circuit.node.len() + 1)
}
