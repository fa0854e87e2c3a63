//! One step through time of a network full of liquid: two stages of second order.

use super::flow_state::FlowState;
use super::solver::{SolveError, Solver};
use super::validity::check_step;
use crate::procedure::Settings;

/// Share of the step that each stage takes implicitly, `1 - 1/sqrt(2)`.
pub(crate) const STAGE: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Error of a step over its length cubed and the third derivative: of the term `z^3` of `(1 + (1 - 2g) z)/(1 - g z)^2`
/// against that of the exponential, 1/6.
const ERROR: f64 = 0.0404;

/// A step through time.
#[derive(Clone, Debug)]
pub(crate) struct TimeStep {
    /// Pressures and flows at its end.
    pub(crate) end: FlowState,
    /// The same with the flows of branches and tips averaged over the step.
    pub(crate) mean: FlowState,
    /// How fast the flow of each branch changes in either stage, m3/s2.
    rate: [Vec<f64>; 2],
}

impl TimeStep {
    /// How fast the flow of each branch changes at its end, m3/s2.
    pub(crate) fn last_rate(&self) -> &[f64] {
        &self.rate[1]
    }

    /// Estimate of the largest error that a step of `dt_s` adds to a branch's flow, m3/s, where `rate` is how fast flows
    /// changed at its start: by the divided difference of that and both stages.
    pub(crate) fn error(&self, rate: &[f64], dt_s: f64) -> f64 {
        let [first, second] = &self.rate;
        let changes = rate.iter().zip(first).zip(second);
        let bends = changes.map(|((start, first), second)| {
            (second - first) / (1.0 - STAGE) - (first - start) / STAGE
        });
        2.0 * ERROR * dt_s * bends.fold(0.0f64, |most, bend| most.max(bend.abs()))
    }
}

impl Solver<'_> {
    /// Pressures and flows `dt_s` after `before`, everything set as `settings` say for the whole of that time: rigid columns
    /// of liquid, in two implicit stages of second order (R. Alexander, *SIAM J. Numer. Anal.* 14:1006, 1977, from memory), which damp
    /// what is too fast for the step.
    ///
    /// # Errors
    /// A [`SolveError`] where no solution can be trusted.
    pub fn advance(
        &mut self,
        settings: &Settings,
        before: &FlowState,
        dt_s: f64,
    ) -> Result<FlowState, SolveError> {
        self.advance_by(|_, _| (), &mut settings.clone(), before, dt_s).map(|step| step.end)
    }

    /// The same with settings that move: `set` writes into `settings` how everything is set at a share of the step.
    pub(crate) fn advance_by(
        &mut self,
        set: impl Fn(f64, &mut Settings),
        settings: &mut Settings,
        before: &FlowState,
        dt_s: f64,
    ) -> Result<TimeStep, SolveError> {
        check_step(&self.plumbing, before, dt_s)?;
        let stage_s = STAGE * dt_s;
        set(STAGE, settings);
        self.full_of_liquid(settings)?;
        self.start_from(before);
        self.newton.statistics = Default::default();
        self.accelerate(stage_s)?;
        let first = self.instant(&[], settings);
        let rate = |newton: &super::newton::Newton, branches: usize| -> Vec<f64> {
            let flows = newton.flow.iter().zip(&newton.before).take(branches);
            flows.map(|(flow, before)| (flow - before) / stage_s).collect()
        };
        let branches = before.flow_m3_s.len();
        let first_rate = rate(&self.newton, branches);
        // The second stage starts where the rest of the step has come to at the rate of the first.
        let beyond = (1.0 - STAGE) / STAGE;
        for (before, flow) in self.newton.before.iter_mut().zip(&self.newton.flow) {
            *before += beyond * (flow - *before);
        }
        set(1.0, settings);
        self.full_of_liquid(settings)?;
        self.accelerate(stage_s)?;
        let end = self.instant(&[], settings);
        let rate = [first_rate, rate(&self.newton, branches)];
        Ok(TimeStep { mean: averaged(&first, &end), end, rate })
    }

    /// The first step after something has jumped: one stage of first order, to be short. Its flows at the end stand for
    /// the whole of it.
    pub(crate) fn set_out(
        &mut self,
        settings: &Settings,
        before: &FlowState,
        dt_s: f64,
    ) -> Result<TimeStep, SolveError> {
        check_step(&self.plumbing, before, dt_s)?;
        self.full_of_liquid(settings)?;
        self.step(before, dt_s)?;
        let end = self.instant(&[], settings);
        let flows = end.flow_m3_s.iter().zip(&before.flow_m3_s);
        let rate: Vec<f64> = flows.map(|(after, before)| (after - before) / dt_s).collect();
        Ok(TimeStep { mean: end.clone(), end, rate: [rate.clone(), rate] })
    }

    /// Sets the laws of everything for lines full of liquid.
    fn full_of_liquid(&mut self, settings: &Settings) -> Result<(), SolveError> {
        self.check(settings)?;
        self.circuit.set(&self.plumbing, &self.liquid, settings, |_| false);
        Ok(())
    }

    /// One step of implicit Euler from `before`.
    pub(super) fn step(&mut self, before: &FlowState, dt_s: f64) -> Result<(), SolveError> {
        self.newton.statistics = Default::default();
        self.start_from(before);
        self.accelerate(dt_s)
    }

    /// Finds the flows to which those in `newton.before` come within `dt_s`.
    fn accelerate(&mut self, dt_s: f64) -> Result<(), SolveError> {
        for (inertia, law) in self.newton.inertia.iter_mut().zip(&self.circuit.laws) {
            *inertia = law.inertance() / dt_s;
        }
        self.warm = true;
        let result = self.iterate(&mut []).map_err(|failure| self.describe(failure));
        // What accelerates is no loss: drops are those of the flow as it is.
        for (i, inertia) in self.newton.inertia.iter_mut().enumerate() {
            self.newton.drop[i] -= *inertia * (self.newton.flow[i] - self.newton.before[i]);
            *inertia = 0.0;
        }
        result
    }
}

/// `end` with flows averaged over both stages.
fn averaged(first: &FlowState, end: &FlowState) -> FlowState {
    let mut mean = end.clone();
    mean.average_flows(first, 1.0 - STAGE);
    mean
}
