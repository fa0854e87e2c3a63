//! Each pump's operating point (terms of ISO 9906).

use super::step::PumpDuty;
use crate::fluids::{ATMOSPHERE_PA, GRAVITY_M_S2};
use crate::hydraulics::Instant;
use crate::plumbing::BranchId;
use crate::procedure::{Actuator, Control, Settings};
use crate::scenario::Scenario;

pub(super) fn pumps(
    scenario: &Scenario,
    settings: &Settings,
    end: &Instant,
    controls: &[Control],
) -> Vec<PumpDuty> {
    let weight = scenario.liquid.density_kg_m3 * GRAVITY_M_S2;
    let vapour_pa = scenario.liquid.vapour_pressure_pa;
    let speed_of = |id: BranchId| {
        let held =
            controls.iter().zip(&end.actuator).find(|(c, _)| c.by == Actuator::PumpSpeed(id));
        held.map_or(settings.speed[id.index()], |(_, actuated)| actuated.value)
    };
    let branches = scenario.plumbing.branches.iter().enumerate();
    let duty = |(i, branch): (usize, &crate::plumbing::Branch)| {
        let pump = branch.part.pump()?;
        let id = BranchId::at(i);
        let (flow_m3_s, rise_pa) = (end.flow_m3_s[i], -end.loss_pa[i]);
        let speed = speed_of(id);
        let inlet_pa = end.total_pressure_pa[branch.from.index()] + ATMOSPHERE_PA;
        let hydraulic_power_w = flow_m3_s * rise_pa;
        let running = speed > 0.0;
        let efficiency = running.then(|| pump.efficiency_at(flow_m3_s, speed)).flatten();
        Some(PumpDuty {
            branch: id,
            flow_m3_s,
            rise_pa,
            head_m: rise_pa / weight,
            speed,
            hydraulic_power_w,
            efficiency,
            shaft_power_w: efficiency.filter(|e| *e > 0.0).map(|e| hydraulic_power_w / e),
            npsh_available_m: (inlet_pa - vapour_pa) / weight,
            npsh_required_m: running.then(|| pump.npsh_required_at(flow_m3_s, speed)).flatten(),
        })
    };
    branches.filter_map(duty).collect()
}
