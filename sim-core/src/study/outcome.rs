//! What one run comes to, as a study counts it.

use crate::findings::{StepFindings, of_whole_run};
use crate::measures::{Limit, Measure};
use crate::scenario::Scenario;

/// Scalars and verdicts of one run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunOutcome {
    /// Every measure that the whole run has, SI.
    pub measures: Vec<(Measure, f64)>,
    /// Every limit that applies to a step.
    pub limits: Vec<JudgedLimit>,
}

/// A limit and what it is on.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgedLimit {
    /// Index of the step.
    pub step: usize,
    /// What is demanded.
    pub limit: Limit,
    /// The value found; of a time that was not reached, at least what it was waited for.
    pub value: f64,
    /// Whether it was reached.
    pub reached: bool,
    /// Whether the limit is met.
    pub met: bool,
}

impl RunOutcome {
    /// What `findings` of the run of `scenario` come to.
    pub fn of(scenario: &Scenario, findings: &[StepFindings]) -> Self {
        let found = of_whole_run(&scenario.machine.plumbing, findings);
        let reached = found.into_iter().filter(|found| found.reached);
        let limits = findings.iter().enumerate().flat_map(|(step, findings)| {
            findings.verdicts.iter().map(move |verdict| JudgedLimit {
                step,
                limit: Limit {
                    measure: verdict.measure,
                    at_most: verdict.at_most,
                    at_least: verdict.at_least,
                    source: verdict.source.clone(),
                },
                value: verdict.value,
                reached: verdict.reached,
                met: verdict.met,
            })
        });
        Self {
            measures: reached.map(|found| (found.measure, found.value)).collect(),
            limits: limits.collect(),
        }
    }

    /// The same where the layer behind the front of air is `factor` times as thick: what more stays in the lines came back less,
    /// down to nothing.
    pub(super) fn with_layer(mut self, findings: &[StepFindings], factor: f64) -> Self {
        let mut more_m3 = 0.0;
        for (step, of) in findings.iter().enumerate() {
            let Some(purge) = &of.purge else { continue };
            let film_m3 = purge.residual.wall_film_m3;
            more_m3 = ((factor - 1.0) * film_m3).clamp(-film_m3, purge.returned_m3);
            for judged in self.limits.iter_mut().filter(|judged| judged.step == step) {
                let moved_m3 = match judged.limit.measure {
                    Measure::PurgeResidual => more_m3,
                    Measure::PurgeReturned => -more_m3,
                    _ => continue,
                };
                judged.value += moved_m3;
                judged.met = judged.limit.met(judged.value);
            }
            if let Some(returned) = self.find(Measure::PurgeReturned) {
                *returned -= more_m3;
            }
        }
        // Of several purges the last one's residual counts.
        if let Some(residual) = self.find(Measure::PurgeResidual) {
            *residual += more_m3;
        }
        self
    }

    fn find(&mut self, measure: Measure) -> Option<&mut f64> {
        self.measures.iter_mut().find(|(of, _)| *of == measure).map(|(_, value)| value)
    }

    /// The value of `measure`, SI; `None` where the run has none or did not reach it.
    pub fn value(&self, measure: Measure) -> Option<f64> {
        self.measures.iter().find(|(of, _)| *of == measure).map(|(_, value)| *value)
    }
}
