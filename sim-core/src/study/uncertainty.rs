//! What many draws say of a scenario's results: bands, chances, effects of inputs.

use super::drawn::DrawnInput;
use super::effects::{Effect, effects};
use super::outcome::RunOutcome;
use super::points::SamplePlan;
use super::spread::{BAND_FROM, BAND_TO, Chance, quantile};
use crate::measures::{Limit, Measure};

/// What many draws say of a scenario's results.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncertainty {
    /// The inputs that were drawn.
    pub inputs: Vec<DrawnInput>,
    /// Which points were looked at.
    pub plan: SamplePlan,
    /// Runs, of all points, without a result to trust.
    pub untrusted: usize,
    /// Every measure of the whole run, in the order of the catalogue.
    pub bands: Vec<MeasureBand>,
    /// Every limit that applies to a step.
    pub limits: Vec<LimitChance>,
    /// What each draw had of each input, in the order of inputs.
    pub draws: Vec<Vec<f64>>,
    /// What each draw came to; `None` where there is no result to trust.
    pub outcomes: Vec<Option<RunOutcome>>,
}

/// A measure and where it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureBand {
    /// Which measure.
    pub measure: Measure,
    /// With inputs as the scenario states them, SI; `None` where it is not reached.
    pub stated: Option<f64>,
    /// The value that 5 of 100 draws are below, SI.
    pub low: f64,
    /// The value that half of the draws are below, SI.
    pub middle: f64,
    /// The value that 95 of 100 draws are below, SI.
    pub high: f64,
    /// In how many draws it was there, of how many.
    pub reached: Chance,
    /// What each input does to it, in the order of inputs.
    pub effects: Vec<Effect>,
}

/// A limit and how likely it is met.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitChance {
    /// Index of the step.
    pub step: usize,
    /// What is demanded.
    pub limit: Limit,
    /// Draws in which it was met; those without a result to trust do not count.
    pub chance: Chance,
}

impl Uncertainty {
    pub(super) fn of(
        inputs: Vec<DrawnInput>,
        plan: SamplePlan,
        stated: &RunOutcome,
        draws: Vec<Vec<f64>>,
        mut outcomes: Vec<Option<RunOutcome>>,
    ) -> Self {
        let untrusted = outcomes.iter().filter(|outcome| outcome.is_none()).count();
        let drawn = plan.draws as usize;
        let trusted = outcomes[..drawn].iter().flatten().count();
        let band = |measure: &Measure| {
            let values: Vec<Option<f64>> =
                outcomes.iter().map(|outcome| outcome.as_ref()?.value(*measure)).collect();
            let mut sorted: Vec<f64> = values[..drawn].iter().copied().flatten().collect();
            sorted.sort_by(f64::total_cmp);
            Some(MeasureBand {
                measure: *measure,
                stated: stated.value(*measure),
                low: quantile(&sorted, BAND_FROM)?,
                middle: quantile(&sorted, 0.5)?,
                high: quantile(&sorted, BAND_TO)?,
                reached: Chance { met: sorted.len(), of: trusted },
                effects: effects(&plan, &values),
            })
        };
        let bands = Measure::ALL.iter().filter_map(band).collect();
        let limits = stated.limits.iter().map(|judged| {
            let found = |outcome: &RunOutcome| {
                let mut limits = outcome.limits.iter();
                let same = limits.find(|other| {
                    other.step == judged.step
                        && other.limit.measure == judged.limit.measure
                        && other.limit.source == judged.limit.source
                });
                same.map(|other| other.met)
            };
            let found: Vec<bool> = outcomes[..drawn].iter().flatten().filter_map(found).collect();
            let met = found.iter().filter(|met| **met).count();
            let chance = Chance { met, of: found.len() };
            LimitChance { step: judged.step, limit: judged.limit.clone(), chance }
        });
        let limits = limits.collect();
        outcomes.truncate(drawn);
        Self { inputs, plan, untrusted, bands, limits, draws, outcomes }
    }
}
