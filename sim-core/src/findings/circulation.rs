//! What flows back to the tank, and whether tips and suspended product bear it.

use super::measured::Measures;
use super::named::Named;
use super::ranking::smallest_first;
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::measures::Measure;
use crate::plumbing::{BranchId, Plumbing, ShutOff, Side, TipId};
use crate::procedure::Course;
use crate::simulation::StepRecord;
use schemars::JsonSchema;
use serde::Serialize;

/// The return side at work.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Circulation {
    /// Flow of the return side into tanks.
    pub flow_m3_s: f64,
    /// Flow of the return side over the flow of all pumps.
    pub pump_share: f64,
    /// Slowest line of feed, tubes and return that carries flow.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slowest: Option<LineVelocity>,
    /// Lines with flow too slow to keep the product's particles moving.
    pub too_slow: Vec<SlowLine>,
    /// Tips with a check valve above its opening pressure: they would run.
    pub tips_that_would_open: Vec<Named<TipId>>,
    /// What the check valves of the tips hold against; left out where no tip has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub check_valves: Option<CheckValves>,
    /// When what comes back was half new liquid, after the step's start.
    pub return_half_s: Option<f64>,
}

/// How fast the liquid in a line moves.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineVelocity {
    /// Which line.
    pub line: Named<BranchId>,
    /// Mean velocity.
    pub velocity_m_s: f64,
}

/// A line too slow for suspended product.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SlowLine {
    /// Which line.
    pub line: Named<BranchId>,
    /// Mean velocity.
    pub velocity_m_s: f64,
    /// Velocity that keeps the particles moving.
    pub needed_m_s: f64,
}

/// Pressure at tips with a check valve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CheckValves {
    /// Highest pressure at any of them, gauge.
    pub highest_pa: f64,
    /// Lowest opening pressure of any of them, gauge.
    pub opens_at_pa: f64,
}

impl Circulation {
    /// Its measures.
    pub(super) fn measure(&self, found: &mut Measures) {
        found.add(Measure::ReturnHalf, self.return_half_s);
        found.add(Measure::ReturnFlow, self.flow_m3_s);
    }
}

/// What `record` shows of the return side; `None` where nothing returns.
pub(super) fn circulation(
    plumbing: &Plumbing,
    course: &Course,
    record: &StepRecord,
) -> Option<Circulation> {
    let end = &record.end;
    let flows = || plumbing.branches.iter().zip(&end.flow_m3_s);
    let flow_m3_s: f64 = plumbing.returns().map(|id| end.flow_m3_s[id.index()].max(0.0)).sum();
    if flow_m3_s <= STILL_M3_S {
        return None;
    }
    let pumped: f64 = flows().filter(|(b, _)| b.part.pump().is_some()).map(|(_, flow)| flow).sum();
    let velocities = velocities(plumbing, end);
    let particles = course.product.particles.as_ref();
    let too_slow = |&(id, velocity_m_s): &(BranchId, f64)| {
        let bore_m = plumbing.branch(id).part.line()?.bore_m;
        let needed_m_s = particles?.pick_up_velocity(&course.liquid, bore_m);
        let line = || Named::branch(plumbing, id);
        (velocity_m_s < needed_m_s).then(|| SlowLine { line: line(), velocity_m_s, needed_m_s })
    };
    let slowest = velocities.iter().copied().min_by(|a, b| {
        let name = |id: BranchId| plumbing.branch(id).name.as_str();
        smallest_first((a.1, name(a.0)), (b.1, name(b.0)))
    });
    Some(Circulation {
        flow_m3_s,
        pump_share: if pumped > 0.0 { flow_m3_s / pumped } else { 0.0 },
        slowest: slowest.map(|(id, velocity_m_s)| LineVelocity {
            line: Named::branch(plumbing, id),
            velocity_m_s,
        }),
        too_slow: velocities.iter().filter_map(too_slow).collect(),
        tips_that_would_open: would_open(plumbing, end),
        check_valves: check_valves(plumbing, end),
        return_half_s: record.moved.as_ref().and_then(|moved| moved.return_half_s),
    })
}

/// Velocity in every line after the pump that carries flow, m/s.
fn velocities(plumbing: &Plumbing, end: &FlowState) -> Vec<(BranchId, f64)> {
    let after_pump = |side| matches!(side, Side::Feed | Side::Boom | Side::Return);
    let branches = plumbing.branches.iter().enumerate();
    let moving = branches.filter_map(|(i, branch)| {
        let (line, flow) = (branch.part.line()?, end.flow_m3_s[i].abs());
        let counts = after_pump(branch.side) && flow > STILL_M3_S;
        counts.then(|| (BranchId::at(i), flow / line.area_m2()))
    });
    moving.collect()
}

/// Tips that can open by pressure: number, pressure and opening pressure, Pa gauge.
fn by_pressure<'a>(
    plumbing: &'a Plumbing,
    end: &'a FlowState,
) -> impl Iterator<Item = (usize, f64, f64)> + 'a {
    plumbing.tips.iter().enumerate().filter_map(|(i, tip)| {
        let opens_at_pa = match tip.shut_off {
            ShutOff::CheckValve { opens_at_pa, .. } => opens_at_pa,
            ShutOff::Open => 0.0,
            ShutOff::Each => return None,
        };
        Some((i, end.tip_pressure_pa[i], opens_at_pa))
    })
}

fn would_open(plumbing: &Plumbing, end: &FlowState) -> Vec<Named<TipId>> {
    let above = by_pressure(plumbing, end).filter(|(_, pa, opens_at_pa)| pa > opens_at_pa);
    above.map(|(i, ..)| Named::tip(plumbing, TipId::at(i))).collect()
}

fn check_valves(plumbing: &Plumbing, end: &FlowState) -> Option<CheckValves> {
    by_pressure(plumbing, end)
        .map(|(_, highest_pa, opens_at_pa)| CheckValves { highest_pa, opens_at_pa })
        .reduce(|a, b| CheckValves {
            highest_pa: a.highest_pa.max(b.highest_pa),
            opens_at_pa: a.opens_at_pa.min(b.opens_at_pa),
        })
}
