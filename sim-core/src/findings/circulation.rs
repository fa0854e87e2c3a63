//! What flows back to the tank, and whether tips and suspended product bear it.

use crate::hydraulics::Instant;
use crate::plumbing::{BranchId, Plumbing, ShutOff, Side, TipId};
use crate::scenario::Scenario;
use crate::simulation::StepRecord;

/// Flow below which a line counts as still, m3/s.
const STILL_BELOW_M3_S: f64 = 1e-9;

/// The return side at work.
#[derive(Clone, Debug, PartialEq)]
pub struct Circulation {
    /// Flow of the return side into tanks, m3/s.
    pub flow_m3_s: f64,
    /// That flow over the flow of all pumps.
    pub share_of_pump: f64,
    /// Tips with a check valve that stand above its opening pressure: they would run.
    pub would_open: Vec<TipId>,
    /// Highest pressure at any tip with a check valve, Pa gauge, and the lowest opening pressure.
    pub highest_and_opening_pa: Option<(f64, f64)>,
    /// Slowest line of feed, tubes and return that carries flow, and its velocity, m/s.
    pub slowest: Option<(BranchId, f64)>,
    /// Lines with flow too slow to keep the scenario's particles moving, with velocity and the velocity
    /// needed, m/s.
    pub too_slow: Vec<(BranchId, f64, f64)>,
    /// When what comes back was half new liquid, s: the turnover the record shows.
    pub return_half_s: Option<f64>,
}

/// What `record` shows of the return side; `None` where nothing returns.
pub(super) fn circulation(scenario: &Scenario, record: &StepRecord) -> Option<Circulation> {
    let (plumbing, end) = (&scenario.plumbing, &record.end);
    let flows = || plumbing.branches.iter().zip(&end.flow_m3_s);
    let returns = flows().filter(|(branch, _)| {
        branch.side == Side::Return && plumbing.node(branch.to).tank.is_some()
    });
    let flow_m3_s: f64 = returns.map(|(_, flow)| flow.max(0.0)).sum();
    if flow_m3_s <= STILL_BELOW_M3_S {
        return None;
    }
    let pumped: f64 = flows().filter(|(b, _)| b.part.pump().is_some()).map(|(_, flow)| flow).sum();
    let velocities = velocities(plumbing, end);
    let particles = scenario.product.particles.as_ref();
    let needed = |id: BranchId, velocity: f64| {
        let bore_m = plumbing.branch(id).part.line()?.bore_m;
        let needed = particles?.pick_up_velocity(&scenario.liquid, bore_m);
        (velocity < needed).then_some((id, velocity, needed))
    };
    let (would_open, highest_and_opening_pa) = check_valves(plumbing, end);
    Some(Circulation {
        flow_m3_s,
        share_of_pump: if pumped > 0.0 { flow_m3_s / pumped } else { 0.0 },
        would_open,
        highest_and_opening_pa,
        slowest: velocities.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1)),
        too_slow: velocities.iter().filter_map(|&(id, velocity)| needed(id, velocity)).collect(),
        return_half_s: record.moved.as_ref().and_then(|moved| moved.return_half_s),
    })
}

/// Velocity in every line after the pump that carries flow, m/s.
fn velocities(plumbing: &Plumbing, end: &Instant) -> Vec<(BranchId, f64)> {
    let after_pump = |side| matches!(side, Side::Feed | Side::Boom | Side::Return);
    let branches = plumbing.branches.iter().enumerate();
    let moving = branches.filter_map(|(i, branch)| {
        let (line, flow) = (branch.part.line()?, end.flow_m3_s[i].abs());
        let counts = after_pump(branch.side) && flow > STILL_BELOW_M3_S;
        counts.then(|| (BranchId::at(i), flow / line.area_m2()))
    });
    moving.collect()
}

/// Check-valve tips above their opening pressure; the highest pressure and the lowest opening pressure.
fn check_valves(plumbing: &Plumbing, end: &Instant) -> (Vec<TipId>, Option<(f64, f64)>) {
    let mut would_open = Vec::new();
    let mut extremes: Option<(f64, f64)> = None;
    for (i, tip) in plumbing.tips.iter().enumerate() {
        let opens_at = match tip.shut_off {
            ShutOff::CheckValve { opens_at_pa, .. } => opens_at_pa,
            ShutOff::Open => 0.0,
            ShutOff::Each => continue,
        };
        let pressure = end.tip_pressure_pa[i];
        let (high, low) = extremes.unwrap_or((pressure, opens_at));
        extremes = Some((high.max(pressure), low.min(opens_at)));
        if pressure > opens_at {
            would_open.push(TipId::at(i));
        }
    }
    (would_open, extremes)
}
