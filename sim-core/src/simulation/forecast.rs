//! How much work a run is, before it starts.

use super::air_steps::longest_s;
use super::march::STILL_MOVE_S;
use crate::plumbing::Machine;
use crate::procedure::{Action, Course, Step};

/// Time for one line or part in one move of liquid, s: a machine of 210 parts took 1 s for 200,000 moves.
const LIQUID_S: f64 = 2.5e-8;
/// The same where air takes part and every move solves the network, s: 9 s for 20,000 moves.
const AIR_S: f64 = 2.2e-6;
/// The same for the state of flow that each step ends in, s.
const STEADY_S: f64 = 1e-6;

/// About how long each step of `course` on `machine` computes at most, s: right within a factor of some five, better as a
/// share of the run. Where a step ends before its time it takes less.
pub fn expected_s(machine: &Machine, course: &Course) -> Vec<f64> {
    let parts = machine.plumbing.branches.len() as f64;
    let air = course.may_hold_air();
    let longest = course.model.longest_move_s;
    let work = |step: &Step| {
        let lasts = step.lasts.map_or(0.0, |lasts| lasts.most_s);
        let still = step.action == Action::Stand && step.transfers.is_empty();
        let moved = match (still, air) {
            (true, _) => lasts / STILL_MOVE_S * if air { AIR_S } else { LIQUID_S },
            (false, true) => lasts / longest.min(longest_s(course.model.air_tolerance)) * AIR_S,
            (false, false) => lasts / longest * LIQUID_S,
        };
        parts * (moved + STEADY_S)
    };
    course.steps.iter().map(work).collect()
}
