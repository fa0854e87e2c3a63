//! A step through time: flows change and come to rest, contents move.

use super::air_record::AirSample;
use super::air_recorder::AirRecorder;
use super::air_steps::AirSteps;
use super::error::RunError;
use super::flow::{Flow, Transition};
use super::record::{Ended, MovedRecord};
use super::recorder::Recorder;
use crate::hydraulics::FlowState;
use crate::plumbing::{BranchId, Plumbing, TankId};
use crate::procedure::{Course, Lasts, Step, Until};
use crate::transport::{Amount, Contents, Impossible};

/// Longest move while nothing flows, s.
pub(super) const STILL_MOVE_S: f64 = 10.0;
/// After the ramp of a step its flows are taken for those that it is to be judged by after this at the latest, s.
const COMES_WITHIN_S: f64 = 5.0;
/// Time too short to matter, s.
pub(super) const NO_TIME_S: f64 = 1e-9;
/// Product over the liquid it is in that counts as rounding.
const NO_PRODUCT: f64 = 1e-12;
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
pub(super) struct March<'a> {
    pub(super) plumbing: &'a Plumbing,
    pub(super) course: &'a Course,
    pub(super) flow: Flow<'a>,
    pub(super) contents: Contents<'a>,
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

impl March<'_> {
    /// Goes through `step`, whose steady flow is `end`, and says what share of its time has passed; returns what moved.
    // Longer than a screen: the order of move, settling, record and end is what it says, and its parts share all they hold.
    pub(super) fn step(
        &mut self,
        step: &Step,
        lasts: Lasts,
        end: FlowState,
        progress: &mut dyn FnMut(f64),
    ) -> Result<MovedRecord, RunError> {
        let particles = self.course.product.particles.as_ref();
        let most = self.most_concentration();
        let mut account = self.contents.amount();
        step.loads.iter().for_each(|load| account += self.contents.load(load));
        self.contents.set_spread(particles, &end);
        let mut watch = Recorder::new(
            self.plumbing,
            self.course,
            &self.contents,
            step,
            &end,
            self.most_samples,
        );
        let mut air = self
            .air_takes_part(step)
            .then(|| AirRecorder::new(self.plumbing, &self.contents, step, &self.flow.instant));
        self.air_steps.begin(self.course.model.longest_move_s);
        let first = air.as_ref().map(|air| air.sample(&self.contents, &self.flow.instant));
        watch.sample(&self.contents, &self.flow.instant, self.time_s, first);
        watch.record.slowed = slowed(self.plumbing, &self.flow.instant, &end);
        let mut transition = self.flow.set_out(step, end);
        let (mut time, mut stood, mut endless) = (0.0, 0.0, Amount::default());
        let mut ended = Ended::Time;
        while lasts.most_s - time > NO_TIME_S.max(1e-12 * lasts.most_s) {
            let left = lasts.most_s - time;
            let moved = if self.air_takes_part(step) {
                self.move_on_air(step, &mut transition, (time, left), &mut endless)?
            } else {
                self.move_on(step, &mut transition, left, &mut endless)?
            };
            let dt = match moved {
                MoveOutcome::By(dt) => dt,
                MoveOutcome::TankEmpty(tank) => {
                    ended = Ended::TankEmpty(tank);
                    break;
                }
            };
            self.look_for_cavities(step, (time + dt, dt), &mut watch.record.parted)?;
            // Not in the move in which flow comes to rest: what passed in it is still to be looked at.
            let moved = if air.is_some() { self.liquid_now(step) } else { &self.flow.mean };
            if let Some(particles) = particles
                && moved.is_still()
                && self.liquid_now(step).is_still()
            {
                self.contents.settle(particles, stood, stood + dt);
                stood += dt;
            }
            let (raw, liquid) = (&self.flow.instant, self.liquid_now(step));
            if let Some(air) = &mut air {
                let plumbing = self.plumbing;
                air.look(plumbing, &self.contents, (raw, liquid), time + dt, dt);
            }
            let sample = || air.as_ref().map(|air| air.sample(&self.contents, raw));
            let moved = if air.is_some() { liquid } else { &self.flow.mean };
            let sampled =
                watch.look(&self.contents, (liquid, moved), (time, dt), self.time_s, sample);
            self.refuse(step, 0.0, self.contents.impossible_outside_lines(most))?;
            if sampled {
                self.refuse(step, 0.0, self.contents.impossible_line(most, true))?;
            }
            if transition.arrived && watch.record.steady_after_s.is_none() {
                watch.record.steady_after_s = Some(time);
            }
            time += dt;
            progress(time / lasts.most_s);
            // What holds from the start ends a step once its flows have come, not in its first millisecond.
            let flows = transition.arrived || time >= step.change.ramp_s + COMES_WITHIN_S;
            let reached = match lasts.until {
                Until::FullStrength => flows && watch.all_full(),
                Until::Rinsed => flows && watch.all_rinsed(),
                Until::Filled => air.as_ref().is_none_or(|air| air.reached(lasts.until, time)),
                until => air.as_ref().is_some_and(|air| air.reached(until, time)),
            };
            if reached {
                ended = Ended::Reached;
                break;
            }
        }
        let last = air.as_ref().map(|air| air.sample(&self.contents, &self.flow.instant));
        self.finish_look(&mut watch, last, step);
        watch.record.air = air.map(|air| air.finish(&self.contents));
        Ok(self.close(watch, ended, &transition, account, endless))
    }

    /// One move of at most `left_s`.
    fn move_on(
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

    fn finish_look(&self, watch: &mut Recorder<'_>, air: Option<AirSample>, step: &Step) {
        watch.last_sample(&self.contents, self.liquid_now(step), self.time_s, air);
        let tanks = || (0..self.plumbing.tanks.len()).map(TankId::at);
        let lines = (0..self.plumbing.branches.len()).map(BranchId::at);
        watch.record.line_concentration =
            lines.map(|id| self.contents.line_concentration(id)).collect();
        watch.record.tank_concentration =
            tanks().map(|t| self.contents.tank_concentration(t)).collect();
        watch.record.tank_m3 = tanks().map(|t| self.contents.tank_volume_m3(t)).collect();
        watch.record.settled_m3 = self.contents.settled_m3();
    }

    /// Closes the account: what was held and came in against what went out and is held.
    fn close(
        &self,
        watch: Recorder<'_>,
        ended: Ended,
        transition: &Transition,
        account: Amount,
        endless: Amount,
    ) -> MovedRecord {
        let mut record = watch.record;
        (record.ended, record.settled_flow) = (ended, transition.arrived);
        let after = self.contents.amount();
        // Over all that was there or moved, so that an empty machine has no error.
        let scale = |of: fn(&Amount) -> f64| {
            of(&account).abs().max(of(&after).abs())
                + of(&record.sprayed).abs()
                + of(&endless).abs()
        };
        let off = |of: fn(&Amount) -> f64, scale: f64| {
            let off = of(&after) + of(&record.sprayed) - of(&account) - of(&endless);
            if scale > 0.0 { (off / scale).abs() } else { 0.0 }
        };
        let liquid = scale(|amount| amount.liquid_m3);
        let product = scale(|amount| amount.product_m3).max(NO_PRODUCT * liquid);
        record.liquid_error = off(|amount| amount.liquid_m3, liquid);
        record.product_error = off(|amount| amount.product_m3, product);
        record
    }
}

/// The line whose column presses most when it slows from `before` to `after`, and by how much its velocity falls, m/s: the pressure of
/// a rigid column goes by length times fall.
fn slowed(plumbing: &Plumbing, before: &FlowState, after: &FlowState) -> Option<(BranchId, f64)> {
    let lines = plumbing.branches.iter().enumerate().filter_map(|(i, branch)| {
        let line = branch.part.line()?;
        let fall_m3_s = (before.flow_m3_s[i].abs() - after.flow_m3_s[i].abs()).max(0.0);
        Some((BranchId::at(i), fall_m3_s / line.area_m2(), line.length_m))
    });
    let most = lines.max_by(|a, b| (a.1 * a.2).total_cmp(&(b.1 * b.2)));
    most.map(|(id, fall_m_s, _)| (id, fall_m_s)).filter(|(_, fall)| *fall > 0.0)
}
