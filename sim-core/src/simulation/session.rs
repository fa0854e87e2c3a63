//! A run that is advanced by a given time, under settings that may change on the way.

use super::air_steps::AirSteps;
use super::balance::imbalance;
use super::error::RunError;
use super::flow::Flow;
use super::march::{March, NO_TIME_S};
use super::passage::Passage;
use super::record::{Ended, Sample, StepRecord};
use crate::fluids::GaugePressure;
use crate::hydraulics::{FlowState, Notice};
use crate::plumbing::{Machine, NodeId};
use crate::procedure::{Course, Step};
use crate::transport::Contents;
use std::sync::Arc;

/// Imbalance above which a step is not trusted.
const MOST_IMBALANCE: f64 = 1e-8;

/// Samples kept of a whole run, and of one step where there are many or few.
const MOST_SAMPLES: usize = 2000;
const SAMPLES_A_STEP: (usize, usize) = (24, 400);
/// Values of lines and parts that samples may keep in all, and samples of a step however many that makes.
const MOST_SAMPLED: usize = 20_000_000;
const FEWEST_SAMPLES: usize = 4;

/// A machine on its way through steps, one after the other: each is begun, advanced, and ended.
///
/// What is open, running, held or blown into the machine changes by beginning the next step, at any moment; the one before
/// ends there. A session keeps what it needs of machine and course. Its clone goes on by itself from the same moment, and to
/// stop, do not advance it any more. After an error only a clone from before is of use.
///
/// ```
/// use sim_core::plumbing::boom::{Feed, build, example};
/// use sim_core::{fluids::water, procedure::{Course, Step}, simulation::Session};
/// let machine = build(&example(6, 12, Feed::Centre, true));
/// let course = Course::new(water(20.0), Vec::new());
/// let mut session = Session::new(&machine, &course)?;
/// session.begin(Step::spray(&machine).lasts(60.0))?;
/// session.advance(12.0)?;
/// let mut other = session.clone();
/// other.begin(Step::circulate(&machine).lasts(60.0))?;
/// other.advance(5.0)?;
/// assert!(other.flows().tip_flow_m3_s[0] < session.flows().tip_flow_m3_s[0]);
/// assert_eq!([session.time_s(), other.time_s()].map(f64::round), [12.0, 17.0]);
/// # Ok::<(), sim_core::simulation::RunError>(())
/// ```
#[derive(Clone)]
pub struct Session {
    march: March,
    begun: Option<Begun>,
}

/// A step that has begun.
#[derive(Clone)]
struct Begun {
    /// Its steady flow, and the imbalance of that.
    end: FlowState,
    imbalance: f64,
    start_s: f64,
    name: String,
    /// `None` where it lasts no time.
    passage: Option<Passage>,
}

impl Session {
    /// `machine` at the start of `course`, whose steps are not begun yet.
    ///
    /// # Errors
    /// [`RunError::Invalid`] where machine or course cannot be computed.
    pub fn new(machine: &Machine, course: &Course) -> Result<Self, RunError> {
        machine.check()?;
        course.check(&machine.plumbing)?;
        let (lines, tanks) = (course.start.lines_hold, course.start.tanks_hold);
        let lasting = course.steps.iter().filter(|step| step.lasts.is_some()).count().max(1);
        let parts = machine.plumbing.branches.len().max(1);
        let usual = (MOST_SAMPLES / lasting).clamp(SAMPLES_A_STEP.0, SAMPLES_A_STEP.1);
        let can_keep = (MOST_SAMPLED / (parts * lasting)).max(FEWEST_SAMPLES);
        let plumbing = Arc::new(machine.plumbing.clone());
        let liquid = Arc::new(course.liquid.clone());
        let (of, with) = (Arc::clone(&plumbing).into(), Arc::clone(&liquid).into());
        let mut march = March {
            flow: Flow::new(Arc::clone(&plumbing), liquid, course),
            contents: Contents::of(of, with, course.model, [lines, tanks]),
            time_s: 0.0,
            liquid: FlowState::at_rest(&plumbing),
            air_steps: AirSteps::within(course.model.air_tolerance),
            parted_s: 0.0,
            most_samples: course.record.most_moments.unwrap_or(usual.min(can_keep)),
            plumbing,
            course: Arc::new(course.clone()),
        };
        march.charge_and_empty();
        Ok(Self { march, begun: None })
    }

    /// Begins `step` at this moment. One that is under way ends; its record is lost unless [`Session::end`] took it.
    ///
    /// # Errors
    /// A [`RunError`] where `step` does not fit the machine or has no solution to trust.
    pub fn begin(&mut self, step: Step) -> Result<(), RunError> {
        step.check(&self.march.plumbing)?;
        self.end()?;
        let march = &mut self.march;
        if step.purge.is_some() {
            march.flow.allow_air();
        }
        let end = march.flow.steady(&step).map_err(|source| RunError::unsolved(&step, source))?;
        check_boiling(march, &step.name, &end)?;
        if march.time_s == 0.0 && march.begins_flowing(&step) {
            march.flow.establish(&step, &end);
        }
        let (imbalance, start_s) = (imbalance(&march.plumbing, &end), march.time_s);
        let name = step.name.clone();
        let passage = step.lasts.map(|lasts| march.set_out(step, lasts, end.clone()));
        self.begun = Some(Begun { end, imbalance, start_s, name, passage });
        Ok(())
    }

    /// Goes on by `by_s`, s, to within a nanosecond, or to the end of the step; returns the time that has passed, s.
    ///
    /// # Errors
    /// A [`RunError`] where no result can be trusted.
    pub fn advance(&mut self, by_s: f64) -> Result<f64, RunError> {
        let mut passed_s = 0.0;
        // A move that ends there by itself must not be cut by rounding: it would be followed by others.
        let rounding_s = 64.0 * f64::EPSILON * (self.time_s() + by_s);
        while by_s - passed_s > NO_TIME_S && self.under_way() {
            passed_s += self.move_on(by_s - passed_s + rounding_s)?;
        }
        Ok(passed_s)
    }

    /// Goes on by one move, of at most `most_s`, s, and as long as its flows allow; returns its length, s. Nothing moves
    /// once the step is over.
    ///
    /// # Errors
    /// A [`RunError`] where no result can be trusted.
    pub fn move_on(&mut self, most_s: f64) -> Result<f64, RunError> {
        match self.begun.as_mut().and_then(|begun| begun.passage.as_mut()) {
            Some(passage) if passage.ended.is_none() => self.march.go_on(passage, most_s),
            _ => Ok(0.0),
        }
    }

    /// Ends the step under way and returns its record; `None` where none is.
    ///
    /// # Errors
    /// [`RunError::Unbalanced`] where liquid, product or air was lost or made in it.
    pub fn end(&mut self) -> Result<Option<StepRecord>, RunError> {
        let Some(Begun { end, imbalance, start_s, name, passage }) = self.begun.take() else {
            return Ok(None);
        };
        let march = &mut self.march;
        let Some(passage) = passage else {
            let record = StepRecord { end, imbalance, start_s, end_s: march.time_s, moved: None };
            return trusted(record, name, imbalance).map(Some);
        };
        let step = passage.step.clone();
        let moved = march.close(passage);
        let air = moved.air.as_ref().map_or(0.0, |air| air.error);
        let worst = imbalance.max(moved.product_error).max(moved.liquid_error).max(air);
        let now = match (moved.settled_flow, &moved.air) {
            (_, Some(_)) => march.end_air(&step, &end),
            (true, None) => end,
            (false, None) => march.flow.on_the_way_to(&end),
        };
        if matches!(moved.ended, Ended::TankEmpty(_)) {
            march.flow.lose_prime();
        }
        let end_s = march.time_s;
        let record = StepRecord { end: now, imbalance, start_s, end_s, moved: Some(moved) };
        trusted(record, name, worst).map(Some)
    }

    fn passage(&self) -> Option<&Passage> {
        self.begun.as_ref()?.passage.as_ref()
    }

    /// Whether a step is under way that has not come to its end.
    pub fn under_way(&self) -> bool {
        self.passage().is_some_and(|passage| passage.ended.is_none())
    }

    /// Share of the longest time of the step under way that has passed.
    pub fn share(&self) -> f64 {
        self.passage().map_or(0.0, Passage::share)
    }

    /// Time since the start, s.
    pub fn time_s(&self) -> f64 {
        self.march.time_s
    }

    /// Pressures and flows of liquid now.
    pub fn flows(&self) -> &FlowState {
        match self.passage() {
            Some(passage) => self.march.liquid_now(&passage.step),
            None => &self.march.flow.instant,
        }
    }

    /// The steady flow of the step under way, to which flows come.
    pub fn steady(&self) -> Option<&FlowState> {
        self.begun.as_ref().map(|begun| &begun.end)
    }

    /// Everything as the record would keep it at this moment; `None` unless a step that lasts has begun.
    pub fn moment(&self) -> Option<Sample> {
        self.passage().map(|passage| self.march.moment(passage))
    }
}

/// `record` of the step `name`, if its `worst` imbalance is none.
fn trusted(record: StepRecord, name: String, worst: f64) -> Result<StepRecord, RunError> {
    if worst > MOST_IMBALANCE {
        return Err(RunError::Unbalanced { step: name, imbalance: worst });
    }
    Ok(record)
}

/// An error if any node stands below vapour pressure, naming the lowest.
fn check_boiling(march: &March, step: &str, end: &FlowState) -> Result<(), RunError> {
    let boiling = end.notices.iter().filter_map(|notice| match notice {
        Notice::BelowVapourPressure(node) => Some(*node),
        _ => None,
    });
    let pressure = |node: &NodeId| end.static_pressure_pa[node.index()];
    let Some(lowest) = boiling.min_by(|a, b| pressure(a).total_cmp(&pressure(b))) else {
        return Ok(());
    };
    Err(RunError::Boils {
        step: step.into(),
        place: march.plumbing.node(lowest).name.clone(),
        absolute: GaugePressure { pa: pressure(&lowest) }.absolute(),
        liquid: march.course.liquid.name.clone(),
        vapour: march.course.liquid.vapour_pressure,
    })
}
