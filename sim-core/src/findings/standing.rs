//! What standing does to suspended product.

use crate::fluids::still_suspended_in_bore;
use crate::scenario::Scenario;
use crate::simulation::StepRecord;

/// Product after standing.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// How long the machine stood, s.
    pub stood_s: f64,
    /// Velocity at which the particles fall, m/s.
    pub settling_m_s: f64,
    /// Particle Reynolds number; from about 1 on that velocity does not hold.
    pub particle_reynolds: f64,
    /// Share still suspended in the tubes of the boom, by the narrowest of them.
    pub still_suspended: f64,
    /// Time in which those tubes clear, s.
    pub clears_in_s: f64,
    /// Product that lies settled in lines at the end, m3 of full strength.
    pub settled_m3: f64,
}

/// What `record` shows of a machine that stands; `None` where something flows or nothing can settle.
pub(super) fn standing(scenario: &Scenario, record: &StepRecord) -> Option<Standing> {
    let (moved, particles) = (record.moved.as_ref()?, scenario.product.particles.as_ref()?);
    let still = record.end.flow_m3_s.iter().all(|flow| flow.abs() < 1e-9);
    let bores = scenario.plumbing.branches.iter().filter_map(|branch| {
        let tube = branch.side == crate::plumbing::Side::Boom;
        branch.part.line().filter(|_| tube).map(|line| line.bore_m)
    });
    let bore_m = bores.reduce(f64::min).filter(|_| still)?;
    let stood_s = record.end_s - record.start_s;
    let settling_m_s = particles.hindered_velocity(&scenario.liquid);
    Some(Standing {
        stood_s,
        settling_m_s,
        particle_reynolds: particles.particle_reynolds(&scenario.liquid),
        still_suspended: still_suspended_in_bore(settling_m_s, stood_s, bore_m),
        clears_in_s: bore_m / settling_m_s.abs(),
        settled_m3: moved.settled_m3,
    })
}
