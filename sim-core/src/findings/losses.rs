//! Where does the pressure go?

use super::named::Named;
use super::pumps::PumpDuty;
use crate::hydraulics::Instant;
use crate::plumbing::{Branch, BranchId, Part, Side};
use crate::scenario::Scenario;
use schemars::JsonSchema;
use serde::Serialize;

/// What one line or part takes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LossFinding {
    /// Which line or part.
    pub branch: Named<BranchId>,
    /// Which stretch of the machine it belongs to.
    pub side: Side,
    /// Mean velocity; lines only.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub velocity_m_s: Option<f64>,
    /// Reynolds number; lines only.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reynolds: Option<f64>,
    /// Loss of total pressure in the direction of flow.
    pub loss_pa: f64,
    /// Power it takes.
    pub power_w: f64,
    /// Power it takes over what all pumps give the liquid.
    pub power_share: f64,
}

/// Flow below which a branch is left out, m3/s.
const STILL_BELOW_M3_S: f64 = 1e-9;

pub(super) fn losses(scenario: &Scenario, end: &Instant, pumps: &[PumpDuty]) -> Vec<LossFinding> {
    let given: f64 = pumps.iter().map(|pump| pump.hydraulic_power_w).sum();
    let liquid = &scenario.course.liquid;
    let finding = |(i, branch): (usize, &Branch)| {
        let flow = end.flow_m3_s[i];
        if matches!(branch.part, Part::Pump(_)) || flow.abs() < STILL_BELOW_M3_S {
            return None;
        }
        let power_w = flow * end.loss_pa[i];
        let velocity_m_s = branch.part.line().map(|line| flow.abs() / line.area_m2());
        let reynolds = branch.part.line().zip(velocity_m_s).map(|(line, velocity)| {
            liquid.density_kg_m3 * velocity * line.bore_m / liquid.viscosity_pa_s
        });
        Some(LossFinding {
            branch: Named::new(BranchId::at(i), &branch.name),
            side: branch.side,
            velocity_m_s,
            reynolds,
            loss_pa: end.loss_pa[i] * flow.signum(),
            power_w,
            power_share: if given > 0.0 { power_w / given } else { 0.0 },
        })
    };
    let mut losses: Vec<LossFinding> =
        scenario.machine.plumbing.branches.iter().enumerate().filter_map(finding).collect();
    losses.sort_by(|a, b| b.power_w.total_cmp(&a.power_w).then(a.branch.id.cmp(&b.branch.id)));
    losses
}
