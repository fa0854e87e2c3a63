//! Moves: flows change and come to rest, contents move with them.

use super::air_steps::AirSteps;
use super::error::RunError;
use super::flow::{Flow, Transition};
use crate::hydraulics::FlowState;
use crate::plumbing::{Plumbing, TankId};
use crate::procedure::{Course, Step};
use crate::transport::{Amount, Contents, Impossible};
use std::sync::Arc;

/// Longest move while nothing flows, s.
pub(super) const STILL_MOVE_S: f64 = 10.0;
/// Time too short to matter, s.
pub(super) const NO_TIME_S: f64 = 1e-9;
/// Shortest move that a loop of flow may ask for, s: at less, runs would not come to their end.
const SHORTEST_MOVE_S: f64 = 1e-6;

/// What became of a move.
pub(super) enum MoveOutcome {
    /// So many seconds passed.
    By(f64),
    /// None: a tank is down to its heel.
    TankEmpty(TankId),
}

/// A machine under way.
#[derive(Clone)]
pub(super) struct March {
    pub(super) plumbing: Arc<Plumbing>,
    pub(super) course: Arc<Course>,
    pub(super) flow: Flow,
    pub(super) contents: Contents<'static>,
    /// s after the run's start.
    pub(super) time_s: f64,
    /// Samples kept of a step.
    pub(super) most_samples: usize,
    /// Flows of liquid while air takes part.
    pub(super) liquid: FlowState,
    pub(super) air_steps: AirSteps,
    /// For how long a column of liquid has been parted without a break, s.
    pub(super) parted_s: f64,
}

impl March {
    /// One move of at most `left_s`.
    pub(super) fn move_on(
        &mut self,
        step: &Step,
        transition: &mut Transition,
        left_s: f64,
        endless: &mut Amount,
    ) -> Result<MoveOutcome, RunError> {
        let unsolved = |source| RunError::unsolved(step, source);
        let still = transition.arrived && self.flow.instant.is_still() && step.transfers.is_empty();
        let longest = if still { STILL_MOVE_S } else { self.course.model.longest_move_s };
        let longest = longest.min(self.loop_step_s(step)?).min(left_s);
        let dt = self.flow.go_on(transition, longest).map_err(unsolved)?;
        // Flows may have changed which loops are closed: the bound is asked again.
        self.contents.set_flows(&self.flow.mean);
        let dt = dt.min(self.loop_step_s(step)?);
        let dt = match self.contents.until_empty_s(&self.flow.mean, &step.transfers) {
            Some((time, tank)) if time <= NO_TIME_S => return Ok(MoveOutcome::TankEmpty(tank)),
            Some((time, _)) => dt.min(time),
            None => dt,
        };
        let moved = self.contents.advance(&self.flow.mean, &step.transfers, dt);
        *endless += moved.from_endless;
        self.time_s += dt;
        Ok(MoveOutcome::By(dt))
    }

    /// Largest step for which loops of flow without a tank stay valid, s.
    pub(super) fn loop_step_s(&self, step: &Step) -> Result<f64, RunError> {
        self.check_loops(step)?;
        let largest_s = self.contents.largest_step_s(&self.flow.instant);
        if largest_s >= SHORTEST_MOVE_S {
            return Ok(largest_s);
        }
        Err(RunError::TooFast { step: step.name.clone(), after_s: self.time_s, move_s: largest_s })
    }

    /// An error where liquid goes round without any line on its way.
    pub(super) fn check_loops(&self, step: &Step) -> Result<(), RunError> {
        let Some(part) = self.contents.loop_without_line() else { return Ok(()) };
        let part = self.plumbing.branch(part);
        let place = format!("{} {}", part.part.kind().replace('_', " "), part.name);
        Err(RunError::NoLineInLoop { step: step.name.clone(), place })
    }

    /// The highest concentration that anything can have: full strength, unless what has settled may be stirred up on top of it.
    pub(super) fn most_concentration(&self) -> f64 {
        if self.course.product.particles.is_some() { f64::INFINITY } else { 1.0 }
    }

    /// An error where something is `impossible`, `ahead_s` from now.
    pub(super) fn refuse(
        &self,
        step: &Step,
        ahead_s: f64,
        impossible: Option<Impossible>,
    ) -> Result<(), RunError> {
        let Some(Impossible { place, held, concentration }) = impossible else { return Ok(()) };
        let (step, after_s) = (step.name.clone(), self.time_s + ahead_s);
        Err(RunError::Impossible { step, after_s, place, held, concentration })
    }
}
