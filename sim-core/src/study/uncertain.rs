//! How far the results of a scenario may be off: many draws of its inputs, each run.

use super::drawn::{Changed, DrawnInput, Reread, about, changes, setting, words_of};
use super::inputs::{default_inputs, law, set};
use super::outcome::RunOutcome;
use super::points::{MOST_INPUTS, SamplePlan};
use super::uncertainty::Uncertainty;
use crate::findings::of_run;
use crate::scenario::{DefaultInput, InputFault, Scenario, Study, StudyInput};
use crate::simulation::{Record, RunError, expected_s};
use rayon::prelude::*;

/// Runs a scenario.
pub type RunOne<'a> = dyn Fn(&Scenario) -> Result<Record, RunError> + Sync + 'a;

/// A scenario whose inputs are uncertain.
pub struct Uncertain<'a> {
    scenario: &'a Scenario,
    text: &'a str,
    reread: &'a Reread<'a>,
    /// The inputs that are drawn, in the order of coordinates.
    pub inputs: Vec<DrawnInput>,
}

impl<'a> Uncertain<'a> {
    /// The `scenario` that was read from `text`, with the usual inputs uncertain and what `study` says otherwise. Inputs that
    /// change nothing are left out.
    ///
    /// # Errors
    /// What of `study` does not fit the scenario.
    pub fn new(
        scenario: &'a Scenario,
        text: &'a str,
        study: Option<&Study>,
        reread: &'a Reread<'a>,
    ) -> Result<Self, Vec<InputFault>> {
        let own = study.map_or(&[][..], |study| &study.uncertain);
        let mut inputs = Vec::new();
        for usual in default_inputs() {
            let said = own.iter().find(|own| own.input == StudyInput::Default(usual.input));
            let (law, source) = match said.map(|said| &said.spread) {
                None => (law(usual.off), usual.source),
                Some(spread) => match about(1.0, spread) {
                    Some(law) => (law, "study"),
                    None => continue,
                },
            };
            let (words, what) = (usual.words.to_owned(), Changed::Default(usual.input));
            let input = DrawnInput {
                words,
                spread: words_of(law, usual.input),
                source: source.to_owned(),
                law,
                what,
            };
            if changes(scenario, &input) {
                inputs.push(input);
            }
        }
        let (mut faults, mut read) = (Vec::new(), Vec::new());
        for own in own {
            match setting(own, text, reread) {
                Ok(input) => read.extend(input),
                Err(fault) => faults.push(fault),
            }
        }
        inputs.extend(read);
        inputs.truncate(MOST_INPUTS);
        if faults.is_empty() { Ok(Self { scenario, text, reread, inputs }) } else { Err(faults) }
    }

    /// Points to look at: so many draws, more where a run is quick, and some of them with each input moved.
    pub fn plan(&self, draws: Option<u32>, seed: u32) -> SamplePlan {
        let expected_s: f64 =
            expected_s(&self.scenario.machine, &self.scenario.course).iter().sum();
        let usual = match expected_s {
            ..0.01 => 1024,
            0.01..0.5 => 96,
            _ => 64,
        };
        let draws = draws.unwrap_or(usual);
        let moved = if expected_s < 0.01 { draws.min(128) } else { draws.div_ceil(16) };
        SamplePlan { inputs: self.inputs.len(), draws, moved, seed }
    }

    /// The scenario with inputs at `point`, and the factor on the layer behind a front of air.
    fn at(&self, point: &[f64]) -> Option<(Scenario, f64)> {
        let mut text: Option<String> = None;
        let drawn =
            || self.inputs.iter().zip(point).map(|(input, at)| (input, input.law.quantile(*at)));
        for (input, value) in drawn() {
            if let Changed::Setting(path, unit) = &input.what {
                let before = text.as_deref().unwrap_or(self.text);
                text = Some(path.applied(before, &format!("{value}{unit}")).ok()?);
            }
        }
        let mut scenario = match text {
            Some(text) => (self.reread)(text).ok()?,
            None => self.scenario.clone(),
        };
        let mut layer = 1.0;
        for (input, value) in drawn() {
            match input.what {
                Changed::Default(DefaultInput::PurgeLayer) => layer = value,
                Changed::Default(input) => set(&mut scenario, input, value),
                Changed::Setting(..) => {}
            }
        }
        Some((scenario, layer))
    }

    /// What the run at `point` comes to; `None` where it has no result to trust.
    fn outcome(&self, point: &[f64], run: &RunOne<'_>) -> Option<RunOutcome> {
        let (scenario, layer) = self.at(point)?;
        let record = run(&scenario).ok()?;
        let findings = of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
        let outcome = RunOutcome::of(&scenario, &findings);
        Some(if layer == 1.0 { outcome } else { outcome.with_layer(&findings, layer) })
    }

    /// Runs every point of `plan`, on all threads there are: the results do not depend on how many. `stated` is what the
    /// scenario as it is comes to.
    pub fn study(&self, plan: SamplePlan, stated: &RunOutcome, run: &RunOne<'_>) -> Uncertainty {
        let points = plan.points();
        let outcomes: Vec<Option<RunOutcome>> =
            points.par_iter().map(|point| self.outcome(point, run)).collect();
        let values = points[..plan.draws as usize].iter().map(|point| {
            self.inputs.iter().zip(point).map(|(input, at)| input.law.quantile(*at)).collect()
        });
        Uncertainty::of(self.inputs.clone(), plan, stated, values.collect(), outcomes)
    }
}
