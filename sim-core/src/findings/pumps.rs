//! Each pump's operating point (terms of ISO 9906).

use super::measured::Measures;
use super::named::Named;
use crate::fluids::{GRAVITY_M_S2, GaugePressure, Liquid};
use crate::hydraulics::FlowState;
use crate::measures::Measure;
use crate::plumbing::{Branch, BranchId, Plumbing};
use crate::procedure::{Actuator, Control, Settings};
use schemars::JsonSchema;
use serde::Serialize;

/// A pump's operating point.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PumpDuty {
    /// Which pump.
    pub pump: Named<BranchId>,
    /// Flow.
    pub flow_m3_s: f64,
    /// Rise of total pressure.
    pub rise_pa: f64,
    /// Head of the pumped liquid.
    pub head_m: f64,
    /// Speed over the curve's speed.
    pub speed_share: f64,
    /// Power given to the liquid.
    pub hydraulic_power_w: f64,
    /// Efficiency at this point, where the scenario gives a curve.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub efficiency_share: Option<f64>,
    /// Power taken at the shaft, where efficiency is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shaft_power_w: Option<f64>,
    /// Net positive suction head available.
    pub npsh_available_m: f64,
    /// Net positive suction head required, where the scenario gives a curve.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub npsh_required_m: Option<f64>,
}

/// The measures of `pumps`.
pub(super) fn measure(pumps: &[PumpDuty], found: &mut Measures) {
    let sum = |of: fn(&PumpDuty) -> f64| pumps.iter().map(of).reduce(|sum, value| sum + value);
    found.add(Measure::PumpFlow, sum(|pump| pump.flow_m3_s));
    found.add(Measure::PumpPower, sum(|pump| pump.hydraulic_power_w));
    let margins =
        pumps.iter().filter_map(|pump| Some(pump.npsh_available_m - pump.npsh_required_m?));
    found.add(Measure::SuctionMargin, margins.reduce(f64::min));
}

pub(super) fn pumps(
    (plumbing, liquid): (&Plumbing, &Liquid),
    settings: &Settings,
    end: &FlowState,
    controls: &[Control],
) -> Vec<PumpDuty> {
    let weight = liquid.density_kg_m3 * GRAVITY_M_S2;
    let vapour_pa = liquid.vapour_pressure.pa;
    let speed_of = |id: BranchId| {
        let held =
            controls.iter().zip(&end.actuator).find(|(c, _)| c.by == Actuator::PumpSpeed(id));
        held.map_or(settings.speed[id.index()], |(_, actuated)| actuated.value)
    };
    let branches = plumbing.branches.iter().enumerate();
    let duty = |(i, branch): (usize, &Branch)| {
        let pump = branch.part.pump()?;
        let id = BranchId::at(i);
        let (flow_m3_s, rise_pa) = (end.flow_m3_s[i], -end.loss_pa[i]);
        let speed = speed_of(id);
        let inlet_pa =
            GaugePressure { pa: end.total_pressure_pa[branch.from.index()] }.absolute().pa;
        let hydraulic_power_w = flow_m3_s * rise_pa;
        let running = speed > 0.0;
        let efficiency = running.then(|| pump.efficiency_at(flow_m3_s, speed)).flatten();
        Some(PumpDuty {
            pump: Named::new(id, &branch.name),
            flow_m3_s,
            rise_pa,
            head_m: rise_pa / weight,
            speed_share: speed,
            hydraulic_power_w,
            efficiency_share: efficiency,
            shaft_power_w: efficiency.filter(|e| *e > 0.0).map(|e| hydraulic_power_w / e),
            npsh_available_m: (inlet_pa - vapour_pa) / weight,
            npsh_required_m: running.then(|| pump.npsh_required_at(flow_m3_s, speed)).flatten(),
        })
    };
    branches.filter_map(duty).collect()
}
