//! Moves of a machine whose plumbing holds air.

use super::airy_steps::{AirySteps, FIRST_S};
use super::error::RunError;
use super::flow::{Flow, Passage};
use super::march::{March, Moved, NO_TIME_S};
use crate::hydraulics::{Instant, MixedInstant, SolveError};
use crate::plumbing::TankId;
use crate::procedure::Step;
use crate::transport::{Amount, Contents, suction_lines};

/// Shortest time step, s.
const LEAST_S: f64 = 3e-4;
/// Growth of the time step while little changes, and the change of flow that counts as little and as much.
const GROWTH: f64 = 1.5;
const LITTLE: f64 = 0.05;
const MUCH: f64 = 0.25;
/// Longest run of a front in one step, m.
const FRONT_RUNS_M: f64 = 0.25;
/// Times a step is shortened because its front ran too far, or the flow was not found.
const MOST_TRIES: usize = 8;
/// Tries after which a flow known to four digits will do: a step so short moves next to nothing, and what it moves is
/// accounted for to the last digit in any case.
const ROUGH_AFTER: usize = 4;
/// Flow below which its changes do not hold up the steps, m3/s: 10 mL in a second.
const HARDLY_M3_S: f64 = 1e-5;
/// Longest step while air takes part and anything moves, s: at twice that, what comes home was off by some per cent.
pub(super) const LONGEST_S: f64 = 0.05;
/// Time by which a front may come too late, as a share of the step.
const LATE: f64 = 0.02;

/// How many more steps that are short because the flow was not found, shorter than any front asks for, than others are
/// taken until the run gives up: at that pace it would not come to its end.
const MOST_HOPELESS: u32 = 150;

impl Flow<'_> {
    /// Flows after a step of at most `longest_s` with air in the plumbing; returns them with its length, s.
    pub(super) fn go_on_mixed(
        &mut self,
        passage: &mut Passage,
        contents: &mut Contents<'_>,
        steps: &mut AirySteps,
        inlet: Option<usize>,
        longest_s: f64,
    ) -> Result<(MixedInstant, f64), SolveError> {
        let corner = passage.next_corner_s();
        let front = contents.until_front_s(&self.instant).max(LEAST_S);
        let run = contents.front_step_s(&self.instant, FRONT_RUNS_M);
        let mut dt = steps.dt_s.min(longest_s).min(corner).min(front).min(run.max(LEAST_S));
        let (mut tries, mut failed) = (0, None);
        let next = loop {
            tries += 1;
            passage.settings_after(dt, self.settings());
            contents.describe(&self.instant, inlet, dt, &mut steps.mixed);
            let next = self.solve_mixed(&steps.mixed, dt, tries > ROUGH_AFTER);
            match next {
                Err(error) if tries >= MOST_TRIES => return Err(error),
                Err(error) => {
                    dt *= 0.25;
                    failed = Some(error);
                }
                Ok(next) if tries < MOST_TRIES && contents.gulp(&next.flow.flow_m3_s) => {
                    dt = dt.min(FIRST_S);
                }
                Ok(next) => {
                    let front = contents.until_front_s(&next.flow).max(LEAST_S);
                    if dt <= front * (1.0 + LATE) || tries >= MOST_TRIES {
                        break next;
                    }
                    dt = front;
                }
            }
        };
        steps.hopeless = match failed {
            Some(error) if dt < LEAST_S && steps.hopeless >= MOST_HOPELESS => return Err(error),
            Some(_) if dt < LEAST_S => steps.hopeless + 1,
            _ => steps.hopeless.saturating_sub(1),
        };
        passage.time_s += dt;
        // What hardly moves may change as it likes.
        let moves = super::flow::largest_flow(&next.flow) / HARDLY_M3_S;
        let change = moves.min(1.0) * super::flow::largest_difference(&next.flow, &self.instant);
        self.instant.clone_from(&next.flow);
        if change < LITTLE {
            steps.dt_s = (steps.dt_s * GROWTH).min(longest_s.max(LEAST_S));
        } else if change > MUCH {
            steps.dt_s = (0.5 * dt).max(LEAST_S);
        }
        Ok((next, dt))
    }
}

impl March<'_> {
    /// Whether air takes part in `step`.
    pub(super) fn with_air(&self, step: &Step) -> bool {
        step.purge.is_some() || self.contents.holds_air()
    }

    /// One move with air, at `time_s` of the step.
    pub(super) fn move_on_with_air(
        &mut self,
        step: &Step,
        passage: &mut Passage,
        (time_s, left_s): (f64, f64),
        endless: &mut Amount,
    ) -> Result<Moved, RunError> {
        let model = &self.course.model;
        self.contents.begin_air(
            &self.course.liquid,
            model.holdup,
            model.fixed_front,
            &self.flow.instant,
        );
        let (blows, until_change) = blowing(step, time_s);
        let inlet = step.purge.filter(|_| blows).map(|purge| purge.node.index());
        let still = inlet.is_none() && super::march::is_still(&self.flow.instant);
        let longest = model.longest_move_s.min(LONGEST_S);
        let longest = if still { super::march::STILL_MOVE_S } else { longest };
        let longest = longest.min(left_s).min(until_change);
        let longest = longest.min(self.loop_step_s(step)?);
        let longest = match self.contents.until_empty_s(&self.liquid, &step.transfers) {
            Some((time, tank)) if time <= NO_TIME_S => return Ok(Moved::TankEmpty(tank)),
            Some((time, _)) => longest.min(time),
            None => longest,
        };
        let (contents, steps) = (&mut self.contents, &mut self.airy_steps);
        let moved = self.flow.go_on_mixed(passage, contents, steps, inlet, longest);
        let (next, dt) = moved.map_err(|source| RunError::unsolved(step, source))?;
        let moved = self.contents.advance_airy(&next, inlet, &step.transfers, dt);
        if self.contents.happened() {
            self.airy_steps.restart();
        }
        self.check_loops(step)?;
        *endless += moved.from_endless;
        self.liquid.clone_from(&next.flow);
        self.contents.liquid_flows(dt, &mut self.liquid);
        self.time_s += dt;
        if step.purge.is_none() {
            self.contents.end_air(&self.flow.instant);
        }
        Ok(Moved::By(dt))
    }

    /// Charges the receiver, and empties what the course says is empty.
    pub(super) fn charge_and_empty(&mut self) {
        let (plumbing, course, start) = (self.plumbing, self.course, &self.course.start);
        self.contents.charge();
        for (line, holds) in &start.own {
            if let Some(strength) = holds {
                self.contents.fill_from_the_start(line.index(), *strength);
            }
        }
        let suction = suction_lines(plumbing);
        if start.empty {
            // What a tank stands over holds what the tank does.
            for (i, branch) in plumbing.branches.iter().enumerate() {
                if suction[i] && branch.part.line().is_some() {
                    self.contents
                        .fill_from_the_start(i, self.contents.tank_strength(TankId::at(0)));
                }
            }
        }
        let own = |i: usize| start.own.iter().rev().find(|(line, _)| line.index() == i);
        let dry = |i: usize| match own(i) {
            Some((_, holds)) => holds.is_none(),
            None => start.empty && !suction[i],
        };
        let is_line = |i: &usize| plumbing.branches[*i].part.line().is_some();
        if (0..plumbing.branches.len()).filter(is_line).any(dry) {
            let (model, rest) = (&course.model, &self.flow.instant);
            self.contents.begin_air(&course.liquid, model.holdup, model.fixed_front, rest);
            self.contents.empty_lines(&dry);
        }
    }

    /// The end of a step with air: flows of liquid alone, and nothing that holds for full lines only. Where no air is
    /// left, the flow as it stands on the way to `end`.
    pub(super) fn end_with_air(&self, step: &Step, end: &Instant) -> Instant {
        if !self.with_air(step) {
            return self.flow.on_the_way_to(end);
        }
        let mut now = Instant { actuator: end.actuator.clone(), ..self.liquid.clone() };
        now.notices.clear();
        now
    }

    /// What flows of liquid now.
    pub(super) fn liquid_now(&self, step: &Step) -> &Instant {
        if self.with_air(step) { &self.liquid } else { &self.flow.instant }
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
