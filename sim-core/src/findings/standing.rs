//! What standing does to suspended product.

use crate::fluids::still_suspended_in_bore;
use crate::plumbing::{Plumbing, Side};
use crate::procedure::Course;
use crate::simulation::StepRecord;
use schemars::JsonSchema;
use serde::Serialize;

/// Product after standing.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Standing {
    /// Velocity at which the particles fall.
    pub settling_m_s: f64,
    /// Particle Reynolds number; from about 1 on the settling velocity does not hold.
    pub particle_reynolds: f64,
    /// Share still suspended in the tubes of the boom, by the narrowest of them.
    pub suspended_share: f64,
    /// Time in which the tubes of the boom clear.
    pub clears_in_s: f64,
}

/// What `record` shows of a machine at rest; `None` where something flows or nothing can settle.
pub(super) fn standing(
    plumbing: &Plumbing,
    course: &Course,
    record: &StepRecord,
) -> Option<Standing> {
    record.moved.as_ref()?;
    let particles = course.product.particles.as_ref()?;
    let tubes = plumbing.branches.iter().filter(|branch| branch.side == Side::Boom);
    let bores = tubes.filter_map(|branch| branch.part.line()).map(|line| line.bore_m);
    let bore_m = bores.reduce(f64::min).filter(|_| record.end.is_still())?;
    let settling_m_s = particles.hindered_velocity(&course.liquid);
    let stood_s = record.end_s - record.start_s;
    Some(Standing {
        settling_m_s,
        particle_reynolds: particles.particle_reynolds(&course.liquid),
        suspended_share: still_suspended_in_bore(settling_m_s, stood_s, bore_m),
        clears_in_s: bore_m / settling_m_s.abs(),
    })
}
