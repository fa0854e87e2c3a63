//! Does something stop faster than a rigid column of liquid can tell?

use super::named::Named;
use super::warning::{Warning, WaveRise};
use crate::fluids::Liquid;
use crate::plumbing::Plumbing;
use crate::simulation::{MovedRecord, Parted};

/// Wave speeds of lines that give most and least, m/s: reinforced rubber hose and stainless tube (Korteweg's
/// formula; a hose's modulus is a guess until measured).
const SLOW_WAVE_M_S: f64 = 150.0;
const FAST_WAVE_M_S: f64 = 1360.0;
/// Loss of velocity from which it is worth a caution, m/s.
const LEAST_FALL_M_S: f64 = 0.5;
/// Round trips of a wave within which a change must not be over for a rigid column to hold.
const TRIPS: f64 = 10.0;

/// The warning of a column that parted, if one did.
pub(super) fn column_parts(plumbing: &Plumbing, moved: &MovedRecord) -> Option<Warning> {
    let Parted { node, lowest, from_s, lasts_s } = moved.parted?;
    let node = Named::node(plumbing, node);
    Some(Warning::ColumnParts { node, lowest_pa: lowest.pa, from_s, lasts_s })
}

/// The caution of a step whose settings change over `ramp_s`, if it is due: the pressure by which a column that stops at once rises,
/// `rho a du` (Joukowsky 1898).
pub(super) fn fast_stop(
    plumbing: &Plumbing,
    liquid: &Liquid,
    ramp_s: f64,
    moved: &MovedRecord,
) -> Option<Warning> {
    let (id, fall_m_s) = moved.slowed.filter(|(_, fall)| *fall >= LEAST_FALL_M_S)?;
    let length_m = plumbing.branch(id).part.line()?.length_m;
    let rise = |wave_m_s: f64| {
        let rise_pa = liquid.density_kg_m3 * wave_m_s * fall_m_s;
        WaveRise { wave_m_s, rise_pa }
    };
    (ramp_s < TRIPS * 2.0 * length_m / SLOW_WAVE_M_S).then(|| Warning::FastStop {
        line: Named::branch(plumbing, id),
        fall_m_s,
        ramp_s,
        rises: [rise(SLOW_WAVE_M_S), rise(FAST_WAVE_M_S)],
    })
}
