//! What the machine asks of its pump: rise of pressure against flow.

use super::law::REVERSE_SLOPE;
use super::pump::PumpLaw;
use super::solver::{SolveError, Solver};
use crate::fluids::Liquid;
use crate::plumbing::{BranchId, Pump};
use crate::procedure::{Actuator, Control, Settings};

/// Rise of total pressure (Pa) that `pump` must give at flows (m3/s) from near nothing to what it
/// drives at its top speed, `points` of them, everything else set as `settings` and `controls` say;
/// a control that moves this pump is left out. Flows rise.
///
/// Each point is the pump's operating point at another speed, found by the network solve itself, so
/// springs, lifts and tips count as they are.
///
/// # Errors
/// A [`SolveError`] where no solution can be trusted.
pub fn system_curve(
    solver: &mut Solver<'_>,
    pump: BranchId,
    settings: &Settings,
    controls: &[Control],
    top_speed: f64,
    points: usize,
) -> Result<Vec<(f64, f64)>, SolveError> {
    let others: Vec<Control> =
        controls.iter().filter(|c| c.by != Actuator::PumpSpeed(pump)).copied().collect();
    let mut settings = settings.clone();
    let mut curve = Vec::with_capacity(points);
    for k in 1..=points {
        settings.speed[pump.index()] = top_speed * k as f64 / points as f64;
        let instant = solver.solve(&settings, &others)?;
        let flow = instant.flow_m3_s[pump.index()];
        if flow > curve.last().map_or(1e-9, |(last, _)| *last) {
            curve.push((flow, -instant.loss_pa[pump.index()]));
        }
    }
    Ok(curve)
}

/// Rise of pressure (Pa) that `pump` gives `liquid` at `speed` over flows (m3/s) from none to the end
/// of its curve at that speed, `points` of them (two or more).
pub fn pump_curve(pump: &Pump, liquid: &Liquid, speed: f64, points: usize) -> Vec<(f64, f64)> {
    let law = PumpLaw::new(pump, liquid, speed);
    let last = law.covers_up_to();
    let at = |k: usize| {
        let flow = last * k as f64 / (points.max(2) - 1) as f64;
        (flow, -law.loss_at(flow, REVERSE_SLOPE).pa)
    };
    (0..points).map(at).collect()
}
