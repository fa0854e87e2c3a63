//! A step through time, move by move: what it has watched so far, and what ends it.

use super::air_record::AirSample;
use super::air_recorder::AirRecorder;
use super::error::RunError;
use super::flow::Transition;
use super::march::{March, MoveOutcome, NO_TIME_S};
use super::record::{Ended, MovedRecord, Sample};
use super::recorder::Recorder;
use crate::hydraulics::FlowState;
use crate::plumbing::{BranchId, Plumbing, TankId};
use crate::procedure::{Lasts, Step, Until};
use crate::transport::Amount;

/// After the ramp of a step its flows are taken for those that it is to be judged by after this at the latest, s.
const COMES_WITHIN_S: f64 = 5.0;
/// Product over the liquid it is in that counts as rounding.
const NO_PRODUCT: f64 = 1e-12;

/// A step under way.
#[derive(Clone)]
pub(super) struct Passage {
    pub(super) step: Step,
    lasts: Lasts,
    watch: Recorder,
    air: Option<AirRecorder>,
    transition: Transition,
    /// What was held as it began.
    account: Amount,
    /// What tanks of unlimited volume have given since.
    endless: Amount,
    /// Since its start, s.
    pub(super) time_s: f64,
    /// For how long nothing has moved, s.
    still_s: f64,
    /// What ended it, once something has.
    pub(super) ended: Option<Ended>,
}

impl Passage {
    /// The share of its longest time that has passed.
    pub(super) fn share(&self) -> f64 {
        self.time_s / self.lasts.most_s
    }

    /// Time it has left, s.
    fn left_s(&self) -> f64 {
        self.lasts.most_s - self.time_s
    }

    /// Whether its time is up.
    fn is_over(&self) -> bool {
        self.left_s() <= NO_TIME_S.max(1e-12 * self.lasts.most_s)
    }

    /// Whether what it waits for has come.
    fn reached(&self) -> bool {
        // What holds from the start ends a step once its flows have come, not in its first millisecond.
        let within_s = self.step.change.ramp_s + COMES_WITHIN_S;
        let flows = self.transition.arrived || self.time_s >= within_s;
        let air = |until| self.air.as_ref().map(|air| air.reached(until, self.time_s));
        match self.lasts.until {
            Until::FullStrength => flows && self.watch.all_full(),
            Until::Rinsed => flows && self.watch.all_rinsed(),
            Until::Filled => air(Until::Filled).unwrap_or(true),
            until => air(until).unwrap_or(false),
        }
    }
}

impl March {
    /// Sets out on `step`, which lasts as `lasts` says and whose steady flow is `end`.
    pub(super) fn set_out(&mut self, step: Step, lasts: Lasts, end: FlowState) -> Passage {
        let mut account = self.contents.amount();
        step.loads.iter().for_each(|load| account += self.contents.load(load));
        self.contents.set_spread(self.course.product.particles.as_ref(), &end);
        let (plumbing, instant) = (&self.plumbing, &self.flow.instant);
        let contents = &self.contents;
        let mut watch =
            Recorder::new(plumbing, &self.course, contents, &step, &end, self.most_samples);
        let air = self
            .air_takes_part(&step)
            .then(|| AirRecorder::new(plumbing, contents, &step, instant));
        self.air_steps.begin(self.course.model.longest_move_s);
        let first = air.as_ref().map(|air| air.sample(contents, instant));
        watch.sample(contents, instant, self.time_s, first);
        watch.record.slowed = slowed(plumbing, instant, &end);
        let transition = self.flow.set_out(&step, end);
        let (endless, ended) = (Amount::default(), None);
        let mut passage = Passage {
            step,
            lasts,
            watch,
            air,
            transition,
            account,
            endless,
            time_s: 0.0,
            still_s: 0.0,
            ended,
        };
        passage.ended = passage.is_over().then_some(Ended::Time);
        passage
    }

    /// Goes on by one move of at most `most_s`; returns its length, s: 0 where a tank is down to its heel.
    pub(super) fn go_on(&mut self, passage: &mut Passage, most_s: f64) -> Result<f64, RunError> {
        let (time_s, left_s) = (passage.time_s, passage.left_s().min(most_s));
        let Passage { step, transition, endless, .. } = &mut *passage;
        let moved = if self.air_takes_part(step) {
            self.move_on_air(step, transition, (time_s, left_s), endless)?
        } else {
            self.move_on(step, transition, left_s, endless)?
        };
        let dt = match moved {
            MoveOutcome::By(dt) => dt,
            MoveOutcome::TankEmpty(tank) => {
                passage.ended = Some(Ended::TankEmpty(tank));
                return Ok(0.0);
            }
        };
        let parted = &mut passage.watch.record.parted;
        self.look_for_cavities(&passage.step, (time_s + dt, dt), parted)?;
        self.look(passage, dt)?;
        passage.time_s += dt;
        if passage.reached() {
            passage.ended = Some(Ended::Reached);
        } else if passage.is_over() {
            passage.ended = Some(Ended::Time);
        }
        Ok(dt)
    }

    /// Looks at the move of `dt` that has just been made.
    fn look(&mut self, passage: &mut Passage, dt: f64) -> Result<(), RunError> {
        let (step, time) = (&passage.step, passage.time_s);
        // Not in the move in which flow comes to rest: what passed in it is still to be looked at.
        let with_air = passage.air.is_some();
        let moved = if with_air { self.liquid_now(step) } else { &self.flow.mean };
        if let Some(particles) = self.course.product.particles.as_ref()
            && moved.is_still()
            && self.liquid_now(step).is_still()
        {
            self.contents.settle(particles, passage.still_s, passage.still_s + dt);
            passage.still_s += dt;
        }
        let (raw, liquid) = (&self.flow.instant, self.liquid_now(step));
        if let Some(air) = &mut passage.air {
            air.look(&self.plumbing, &self.contents, (raw, liquid), time + dt, dt);
        }
        let air = &passage.air;
        let sample = || air.as_ref().map(|air| air.sample(&self.contents, raw));
        let moved = if with_air { liquid } else { &self.flow.mean };
        let watch = &mut passage.watch;
        let sampled = watch.look(&self.contents, (liquid, moved), (time, dt), self.time_s, sample);
        let most = self.most_concentration();
        self.refuse(step, 0.0, self.contents.impossible_outside_lines(most))?;
        if sampled {
            self.refuse(step, 0.0, self.contents.impossible_line(most, true))?;
        }
        if passage.transition.arrived && watch.record.steady_after_s.is_none() {
            watch.record.steady_after_s = Some(time);
        }
        Ok(())
    }

    /// Everything as it is at this moment of `passage`.
    pub(super) fn moment(&self, passage: &Passage) -> Sample {
        let air = self.air_now(passage);
        let instant = self.liquid_now(&passage.step);
        passage.watch.moment(&self.contents, instant, self.time_s, air)
    }

    fn air_now(&self, passage: &Passage) -> Option<AirSample> {
        passage.air.as_ref().map(|air| air.sample(&self.contents, &self.flow.instant))
    }

    /// Closes the step, and its account: what was held and came in against what went out and is held.
    pub(super) fn close(&self, passage: Passage) -> MovedRecord {
        let last = self.air_now(&passage);
        let Passage { step, mut watch, air, transition, account, endless, ended, .. } = passage;
        self.finish_look(&mut watch, last, &step);
        watch.record.air = air.map(|air| air.finish(&self.contents));
        let mut record = watch.record;
        (record.ended, record.settled_flow) = (ended.unwrap_or_default(), transition.arrived);
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

    fn finish_look(&self, watch: &mut Recorder, air: Option<AirSample>, step: &Step) {
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
