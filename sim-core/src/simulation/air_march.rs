//! Moves of a machine whose plumbing holds air.

use super::air_steps::longest_s;
use super::error::RunError;
use super::flow::Transition;
use super::march::{March, MoveOutcome, NO_TIME_S, STILL_MOVE_S};
use crate::hydraulics::FlowState;
use crate::plumbing::BranchId;
use crate::procedure::Step;
use crate::transport::Amount;

impl March {
    /// Whether air takes part in `step`.
    pub(super) fn air_takes_part(&self, step: &Step) -> bool {
        step.purge.is_some() || self.contents.holds_air()
    }

    /// Whether `step`, the first that is taken, begins with the flow it comes to.
    pub(super) fn begins_flowing(&self, step: &Step) -> bool {
        self.course.start.flowing && !self.air_takes_part(step)
    }

    /// One move with air, at `time_s` of the step.
    pub(super) fn move_on_air(
        &mut self,
        step: &Step,
        transition: &mut Transition,
        (time_s, left_s): (f64, f64),
        endless: &mut Amount,
    ) -> Result<MoveOutcome, RunError> {
        let model = &self.course.model;
        self.contents.begin_air(&self.flow.instant);
        let (blows, until_change) = blowing(step, time_s);
        let inlet = step.purge.filter(|_| blows).map(|purge| purge.node);
        let still = inlet.is_none() && self.flow.instant.is_still();
        let longest = model.longest_move_s.min(longest_s(model.air_tolerance));
        let longest = if still { STILL_MOVE_S } else { longest };
        let longest = longest.min(left_s).min(until_change);
        let longest = longest.min(self.loop_step_s(step)?);
        let longest = match self.contents.until_empty_s(&self.liquid, &step.transfers) {
            Some((time, tank)) if time <= NO_TIME_S => return Ok(MoveOutcome::TankEmpty(tank)),
            Some((time, _)) => longest.min(time),
            None => longest,
        };
        let (contents, steps) = (&mut self.contents, &mut self.air_steps);
        let moved = self.flow.go_on_air(transition, contents, steps, inlet, longest);
        let (next, dt) = moved.map_err(|source| RunError::unsolved(step, source))?;
        self.contents.set_flows(&next.flow);
        let moved = self.contents.advance_air(&next.flow, next.inflow, &step.transfers, dt);
        self.refuse(step, dt, self.contents.impossible_line(self.most_concentration(), false))?;
        // A front that arrives changes the flow at once: what follows begins with a short step.
        if self.contents.happened() {
            self.air_steps.restart(model.longest_move_s);
        }
        self.check_loops(step)?;
        *endless += moved.from_endless;
        // Tips, returns and the record count liquid: volumes that passed, not the flow of the mixture.
        self.liquid.clone_from(&next.flow);
        self.contents.liquid_flows(dt, &mut self.liquid);
        self.time_s += dt;
        if step.purge.is_none() {
            self.contents.end_air(&self.flow.instant);
        }
        Ok(MoveOutcome::By(dt))
    }

    /// Charges the receiver, and empties what the course says is empty.
    pub(super) fn charge_and_empty(&mut self) {
        let (plumbing, start) = (&*self.plumbing, &self.course.start);
        self.contents.charge();
        for (line, holds) in &start.own {
            if let Some(concentration) = holds {
                self.contents.fill(*line, *concentration);
            }
        }
        let suction = plumbing.suction_lines();
        if start.empty {
            // What a tank stands over holds what the tank does.
            for (i, tank) in plumbing.suction_tanks().into_iter().enumerate() {
                if let Some(tank) = tank {
                    self.contents.fill(BranchId::at(i), self.contents.tank_concentration(tank));
                }
            }
        }
        let own = |id: BranchId| start.own.iter().rev().find(|(line, _)| *line == id);
        let dry = |id: BranchId| match own(id) {
            Some((_, holds)) => holds.is_none(),
            None => start.empty && !suction[id.index()],
        };
        let branches = (0..plumbing.branches.len()).map(BranchId::at);
        let mut lines = branches.filter(|id| plumbing.branch(*id).part.line().is_some());
        if lines.any(dry) {
            self.contents.begin_air(&self.flow.instant);
            self.contents.empty_lines(&dry, &start.air_pa);
        }
    }

    /// The end of a step with air: flows of liquid alone, and nothing that holds for full lines only. Where no air is
    /// left, the flow as it is on the way to `end`.
    pub(super) fn end_air(&self, step: &Step, end: &FlowState) -> FlowState {
        if !self.air_takes_part(step) {
            return self.flow.on_the_way_to(end);
        }
        let mut now = FlowState { actuator: end.actuator.clone(), ..self.liquid.clone() };
        now.notices.clear();
        now
    }

    /// What flows of liquid now.
    pub(super) fn liquid_now(&self, step: &Step) -> &FlowState {
        if self.air_takes_part(step) { &self.liquid } else { &self.flow.instant }
    }
}

/// Whether compressed air blows at `time_s` of `step`, and for how long that stays so, s.
fn blowing(step: &Step, time_s: f64) -> (bool, f64) {
    let Some(pulse) = step.purge.and_then(|purge| purge.pulse) else {
        return (step.purge.is_some(), f64::INFINITY);
    };
    // A time a hair short of a change counts as past it.
    let within = (time_s + 1e-9).rem_euclid(pulse.on_s + pulse.off_s);
    if within < pulse.on_s {
        (true, pulse.on_s - within + 1e-9)
    } else {
        (false, pulse.on_s + pulse.off_s - within + 1e-9)
    }
}
