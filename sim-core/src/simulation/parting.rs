//! Columns of liquid that would have to pull: no liquid bears less than its vapour pressure.

use super::error::RunError;
use super::march::March;
use super::record::Parted;
use crate::fluids::GaugePressure;
use crate::hydraulics::FlowState;
use crate::plumbing::{NodeId, Plumbing};
use crate::procedure::Step;

/// Longest time for which a column that has parted is passed over, s: what comes together again as late moves by its own laws
/// (assumption).
const PASSED_OVER_S: f64 = 1.0;

impl March {
    /// Shows vapour pressure where the move of `dt_s` that ended at `time_s` of `step` left less, and notes it in `parted`.
    ///
    /// # Errors
    /// Where that goes on for longer than a cavity can be passed over.
    pub(super) fn look_for_cavities(
        &mut self,
        step: &Step,
        (time_s, dt_s): (f64, f64),
        parted: &mut Option<Parted>,
    ) -> Result<(), RunError> {
        let vapour = self.course.liquid.vapour_pressure;
        let floor_pa = vapour.gauge().pa;
        let Some(least) = lowest(&self.flow.instant).filter(|(_, least)| least.pa < floor_pa)
        else {
            self.parted_s = 0.0;
            return Ok(());
        };
        // Beside air a cavity is one pocket more, and what stands behind a closed valve may keep it.
        let full = !self.air_takes_part(step);
        self.parted_s = if full { self.parted_s + dt_s } else { 0.0 };
        if self.parted_s > PASSED_OVER_S {
            return Err(RunError::Parts {
                step: step.name.clone(),
                after_s: time_s,
                place: self.plumbing.node(least.0).name.clone(),
                absolute: least.1.absolute(),
                liquid: self.course.liquid.name.clone(),
                vapour,
            });
        }
        *parted = Some(taken_up(*parted, least, time_s, dt_s));
        // With air in the plumbing the next move starts from the pressures as they were solved; shown are those of `liquid`.
        if full {
            raise(&self.plumbing, &mut self.flow.instant, floor_pa);
        }
        raise(&self.plumbing, &mut self.liquid, floor_pa);
        Ok(())
    }
}

/// The node with the lowest pressure.
fn lowest(instant: &FlowState) -> Option<(NodeId, GaugePressure)> {
    let nodes = instant.static_pressure_pa.iter().enumerate();
    let least = nodes.min_by(|a, b| a.1.total_cmp(b.1))?;
    Some((NodeId::at(least.0), GaugePressure { pa: *least.1 }))
}

/// Lifts every pressure below `floor_pa` to it, and takes the loss of parts without length from what is then on both sides.
fn raise(plumbing: &Plumbing, instant: &mut FlowState, floor_pa: f64) {
    let short = |pa: f64| (floor_pa - pa).max(0.0);
    for (branch, loss_pa) in plumbing.branches.iter().zip(&mut instant.loss_pa) {
        let short_at = |node: NodeId| short(instant.static_pressure_pa[node.index()]);
        if branch.part.line().is_none() {
            *loss_pa += short_at(branch.from) - short_at(branch.to);
        }
    }
    let nodes = instant.static_pressure_pa.iter_mut().zip(&mut instant.total_pressure_pa);
    for (pa, total_pa) in nodes {
        let short_pa = short(*pa);
        *pa += short_pa;
        *total_pa += short_pa;
    }
    for (pa, tip) in instant.tip_pressure_pa.iter_mut().zip(&plumbing.tips) {
        *pa = pa.max(instant.static_pressure_pa[tip.node.index()]);
    }
}

/// Takes up a move of `dt_s` at whose end, `time_s` of the step, `node` would be at `lowest`.
fn taken_up(
    now: Option<Parted>,
    (node, lowest): (NodeId, GaugePressure),
    time_s: f64,
    dt_s: f64,
) -> Parted {
    let fresh = Parted { node, lowest, from_s: time_s - dt_s, lasts_s: 0.0 };
    let mut parted = now.unwrap_or(fresh);
    parted.lasts_s += dt_s;
    if lowest.pa < parted.lowest.pa {
        (parted.node, parted.lowest) = (node, lowest);
    }
    parted
}
