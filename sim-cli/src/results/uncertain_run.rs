//! A run with what is known of its uncertainty.

use super::Finished;
use sim_core::measures::{Better, Measure};
use sim_core::study::{LimitChance, MeasureBand, Uncertainty};
use sim_core::units::show;

/// A finished run and how far its figures may be off.
pub(crate) struct UncertainRun<'a> {
    pub(crate) run: &'a Finished,
    pub(crate) found: Uncertainty,
}

impl UncertainRun<'_> {
    /// The bands that say most, in the order of the catalogue: of what is better one way, and not known anyhow.
    pub(crate) fn telling(&self) -> impl Iterator<Item = &MeasureBand> {
        let counts = |band: &&MeasureBand| {
            band.measure.better() != Better::Neither && band.measure != Measure::LimitsMissed
        };
        self.found.bands.iter().filter(counts).filter(|band| self.is_open(band))
    }

    /// Inputs by what they do to `band`, the most first, as indices; those that do next to nothing left out.
    pub(crate) fn causes(&self, band: &MeasureBand) -> Vec<usize> {
        let moves = |input: &usize| band.effects[*input].moves_by;
        let mut inputs: Vec<usize> = (0..band.effects.len()).collect();
        inputs.sort_by(|a, b| moves(b).total_cmp(&moves(a)));
        let least = 0.1 * inputs.first().map_or(0.0, moves);
        inputs.retain(|input| moves(input) > least);
        inputs
    }

    /// The limits that are not met in every draw, the least likely first.
    pub(crate) fn in_doubt(&self) -> Vec<&LimitChance> {
        let limits = self.found.limits.iter().filter(|limit| limit.chance.met < limit.chance.of);
        let mut limits: Vec<&LimitChance> = limits.collect();
        limits.sort_by(|a, b| a.chance.share().total_cmp(&b.chance.share()));
        limits
    }

    /// Whether the ends of `band` differ as they are shown.
    fn is_open(&self, band: &MeasureBand) -> bool {
        let shown = |si: f64| show(si, band.measure.quantity(), self.run.units);
        shown(band.low) != shown(band.high)
    }

    /// The least likely of the limits on `measure`.
    pub(crate) fn least_likely(&self, measure: Measure) -> Option<&LimitChance> {
        let limits = self.found.limits.iter().filter(|limit| limit.limit.measure == measure);
        limits.min_by(|a, b| a.chance.share().total_cmp(&b.chance.share()))
    }

    /// The name of step number `step`.
    pub(crate) fn step(&self, step: usize) -> &str {
        &self.run.scenario().course.steps[step].name
    }
}
