//! Each tip against its table and its fellows.

use super::step::{HeldFinding, TipFinding, Window};
use crate::fluids::TIP_DENSITY_KG_M3;
use crate::hydraulics::Instant;
use crate::plumbing::{Tip, TipId};
use crate::procedure::Settings;
use crate::scenario::Scenario;

/// Flow below which a tip counts as shut, m3/s (less than a drop a minute).
pub(super) const SHUT_BELOW_M3_S: f64 = 1e-9;

pub(super) fn tips(
    scenario: &Scenario,
    settings: &Settings,
    end: &Instant,
    held: &[HeldFinding],
) -> Vec<TipFinding> {
    let plumbing = &scenario.plumbing;
    let runs = |i: usize| settings.tip_opening[i] > 0.0 && end.tip_flow_m3_s[i] > SHUT_BELOW_M3_S;
    let running: Vec<usize> = (0..plumbing.tips.len()).filter(|i| runs(*i)).collect();
    let pressures = running.iter().map(|i| end.tip_pressure_pa[*i]);
    let mean = pressures.sum::<f64>() / (running.len().max(1)) as f64;
    let reference_pa = held.iter().find(|h| h.is_pressure && h.reached).map_or(mean, |h| h.wanted);
    let nominal =
        |i: usize| nominal_flow(&plumbing.tips[i], reference_pa, scenario.liquid.density_kg_m3);
    // Tips of different rating are compared through flow over rating.
    let over_nominal = |i: usize| end.tip_flow_m3_s[i] / nominal(i);
    let mean_over =
        running.iter().map(|i| over_nominal(*i)).sum::<f64>() / running.len().max(1) as f64;
    let finding = |i: usize| {
        let running = runs(i);
        let pressure_pa = end.tip_pressure_pa[i];
        let window = plumbing.tips[i].window_pa.map(|window| position(pressure_pa, window));
        TipFinding {
            tip: TipId::at(i),
            pressure_pa,
            flow_m3_s: if running { end.tip_flow_m3_s[i] } else { 0.0 },
            nominal_flow_m3_s: nominal(i),
            from_nominal: running.then(|| over_nominal(i) - 1.0),
            from_mean: running.then(|| over_nominal(i) / mean_over - 1.0),
            window: window.filter(|_| running),
        }
    };
    (0..plumbing.tips.len()).map(finding).collect()
}

/// Flow a new tip's table gives at `pressure_pa` for a liquid of `density_kg_m3`, duty included, m3/s:
/// `q = q_rated sqrt(p / p_rated) sqrt(rho_water / rho)` (ISO 5682-1; density as in extension tables).
fn nominal_flow(tip: &Tip, pressure_pa: f64, density_kg_m3: f64) -> f64 {
    let density = (TIP_DENSITY_KG_M3 / density_kg_m3).sqrt();
    tip.rated_flow_m3_s * (pressure_pa.max(0.0) / tip.rated_at_pa).sqrt() * density * tip.duty
}

fn position(pressure_pa: f64, (low, high): (f64, f64)) -> Window {
    if pressure_pa < low {
        Window::Below
    } else if pressure_pa > high {
        Window::Above
    } else {
        Window::Inside
    }
}
