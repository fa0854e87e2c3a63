//! A run of one scenario.

use super::Loaded;
use crate::columns::printable_path;
use crate::failure::Failure;
use sim_core::findings::{StepFindings, of_run};
use sim_core::measures::Measure;
use sim_core::plumbing::Plumbing;
use sim_core::procedure::{Action, Step};
use sim_core::scenario::{InputFault, Scenario};
use sim_core::simulation::{Record, RunError, StepRecord};
use sim_core::units::{Quantity, UnitSystem, show};
use std::ops::Range;

/// A finished run: what it was asked, what happened, what that means, and the units it is shown in.
pub(crate) struct Finished {
    pub(crate) loaded: Loaded,
    pub(crate) record: Record,
    /// One entry a step.
    pub(crate) findings: Vec<StepFindings>,
    pub(crate) units: UnitSystem,
}

/// One step of a finished run.
#[derive(Clone, Copy)]
pub(crate) struct FinishedStep<'a> {
    pub(crate) scenario: &'a Scenario,
    /// Its number, from 0.
    pub(crate) number: usize,
    pub(crate) step: &'a Step,
    pub(crate) record: &'a StepRecord,
    pub(crate) findings: &'a StepFindings,
    pub(crate) units: UnitSystem,
}

impl Finished {
    /// The findings of a run that left `record`.
    pub(crate) fn with(
        loaded: Loaded,
        record: Result<Record, RunError>,
        units: UnitSystem,
    ) -> Result<Self, Failure> {
        let record = record.map_err(|error| {
            Failure::Untrusted(format!("{}: {error}", printable_path(&loaded.path)))
        })?;
        let scenario = &loaded.scenario;
        let findings = of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
        let mut finished = Self { loaded, record, findings, units };
        let unjudged = finished.unjudged();
        finished.loaded.ignored.extend(unjudged);
        Ok(finished)
    }

    /// Limits that the scenario gives and no step has anything for.
    fn unjudged(&self) -> Vec<InputFault> {
        let judged = |measure: Measure| {
            self.findings.iter().flat_map(|step| &step.verdicts).any(|v| v.measure == measure)
        };
        let unjudged = self.loaded.limits_at.iter().filter(|(measure, _)| !judged(*measure));
        let note = |(measure, span): &(Measure, Range<usize>)| InputFault {
            span: span.clone(),
            message: format!("this limit says nothing: no step has a {}", measure.words()),
            help: Some("add a step that has one, or leave the limit out".into()),
        };
        unjudged.map(note).collect()
    }

    pub(crate) fn scenario(&self) -> &Scenario {
        &self.loaded.scenario
    }

    pub(crate) fn plumbing(&self) -> &Plumbing {
        &self.loaded.scenario.machine.plumbing
    }

    /// Every step, in order.
    pub(crate) fn all_steps(&self) -> impl Iterator<Item = FinishedStep<'_>> {
        let (scenario, units) = (self.scenario(), self.units);
        let steps = scenario.course.steps.iter().zip(&self.record.steps).zip(&self.findings);
        steps.enumerate().map(move |(number, ((step, record), findings))| FinishedStep {
            scenario,
            number,
            step,
            record,
            findings,
            units,
        })
    }

    /// The steps that are shown: of those that repeat, the first and the last pass.
    pub(crate) fn steps(&self) -> impl Iterator<Item = FinishedStep<'_>> {
        self.all_steps().filter(|of| !of.step.is_middle_pass())
    }

    /// Whether there is more than one step to tell apart.
    pub(crate) fn has_several_steps(&self) -> bool {
        self.reported_steps().count() > 1
    }

    /// Those that are reported by themselves: of a purge in parts, the last.
    pub(crate) fn reported_steps(&self) -> impl Iterator<Item = FinishedStep<'_>> {
        self.steps().filter(|of| of.step.action != Action::Purge || of.findings.purge.is_some())
    }
}

impl<'a> FinishedStep<'a> {
    pub(crate) fn plumbing(&self) -> &'a Plumbing {
        &self.scenario.machine.plumbing
    }

    /// A value as it is shown, with its unit.
    pub(crate) fn show(&self, si: f64, quantity: Quantity) -> String {
        show(si, quantity, self.units)
    }
}
