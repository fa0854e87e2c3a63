//! Where does the pressure go?

use super::measured::{Measures, Place};
use super::named::Named;
use super::pumps::PumpDuty;
use super::ranking::largest_first;
use super::warning::Warning;
use crate::fluids::Liquid;
use crate::hydraulics::{FlowState, LAMINAR_UP_TO, STILL_M3_S, TURBULENT_FROM};
use crate::measures::Measure;
use crate::plumbing::{Branch, BranchId, Part, Plumbing, Side};
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

/// The measures of `losses`.
pub(super) fn measure(losses: &[LossFinding], found: &mut Measures) {
    let fastest = |suction: bool| {
        let of_side = losses.iter().filter(move |loss| (loss.side == Side::Suction) == suction);
        of_side.filter_map(|loss| Some((loss.velocity_m_s?, Place::Line(loss.branch.clone()))))
    };
    found.largest(Measure::Velocity, fastest(false));
    found.largest(Measure::SuctionVelocity, fastest(true));
}

/// Loss below which an uncertain friction does not matter, Pa.
const MATTERS_FROM_PA: f64 = 200.0;

/// Lines whose friction is uncertain because their flow is between laminar and turbulent.
pub(super) fn between_regimes(losses: &[LossFinding]) -> Option<Warning> {
    let between = |reynolds: f64| reynolds > LAMINAR_UP_TO && reynolds < TURBULENT_FROM;
    let uncertain = losses.iter().filter(|loss| loss.reynolds.is_some_and(between));
    let uncertain: Vec<_> = uncertain.filter(|loss| loss.loss_pa >= MATTERS_FROM_PA).collect();
    let largest_loss_pa = uncertain.iter().map(|loss| loss.loss_pa).reduce(f64::max)?;
    let lines = uncertain.into_iter().map(|loss| loss.branch.clone()).collect();
    Some(Warning::BetweenRegimes { lines, largest_loss_pa })
}

pub(super) fn losses(
    (plumbing, liquid): (&Plumbing, &Liquid),
    end: &FlowState,
    pumps: &[PumpDuty],
) -> Vec<LossFinding> {
    let given: f64 = pumps.iter().map(|pump| pump.hydraulic_power_w).sum();
    let finding = |(i, branch): (usize, &Branch)| {
        let flow = end.flow_m3_s[i];
        if matches!(branch.part, Part::Pump(_)) || flow.abs() <= STILL_M3_S {
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
        plumbing.branches.iter().enumerate().filter_map(finding).collect();
    losses.sort_by(|a, b| largest_first((a.power_w, &a.branch.name), (b.power_w, &b.branch.name)));
    losses
}
