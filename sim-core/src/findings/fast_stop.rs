//! Does something stop faster than a rigid column of liquid can tell?

use super::warning::Warning;
use super::warnings::both;
use crate::scenario::Scenario;
use crate::simulation::MovedRecord;
use crate::units::Quantity;

/// Wave speeds of lines that give most and least, m/s: reinforced rubber hose and stainless tube (Korteweg's
/// formula; a hose's modulus is a guess until measured).
const SLOW_WAVE_M_S: f64 = 150.0;
const FAST_WAVE_M_S: f64 = 1360.0;
/// Loss of velocity from which it is worth a caution, m/s.
const LEAST_FALL_M_S: f64 = 0.5;
/// Round trips of a wave within which a change must not be over for a rigid column to hold.
const TRIPS: f64 = 10.0;

/// The caution of step number `step`, if it is due: the pressure by which a column that stops at once rises,
/// `rho a du` (Joukowsky 1898).
pub(super) fn fast_stop(scenario: &Scenario, step: usize, moved: &MovedRecord) -> Option<Warning> {
    let (id, fall_m_s) = moved.slowed.filter(|(_, fall)| *fall >= LEAST_FALL_M_S)?;
    let branch = scenario.machine.plumbing.branch(id);
    let ramp_s = scenario.course.steps[step].change.ramp_s;
    let round_trip_s = 2.0 * branch.part.line()?.length_m / SLOW_WAVE_M_S;
    if ramp_s >= TRIPS * round_trip_s {
        return None;
    }
    let rise = |wave_m_s: f64| scenario.course.liquid.density_kg_m3 * wave_m_s * fall_m_s;
    let text = format!(
        "Line {} loses {fall_m_s:.1} m/s within {ramp_s:.1} s, which may be too fast for the rigid columns of \
         this model: peaks of pressure are not to be trusted. Stopped at once, the pressure in it would rise by \
         {} in rubber hose (wave speed {SLOW_WAVE_M_S:.0} m/s) and by {} in stainless tube \
         ({FAST_WAVE_M_S:.0} m/s).",
        branch.name,
        both(rise(SLOW_WAVE_M_S), Quantity::Pressure),
        both(rise(FAST_WAVE_M_S), Quantity::Pressure)
    );
    Some(Warning { code: "fast_stop", text })
}
