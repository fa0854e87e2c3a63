//! A run of one scenario.

use super::Loaded;
use crate::failure::Failure;
use sim_core::findings::{StepFindings, of_run};
use sim_core::simulation::{self, Record, RunError};

/// A finished run: what it was asked, what happened, what that means.
pub(crate) struct Finished {
    pub(crate) loaded: Loaded,
    pub(crate) record: Record,
    /// One entry a step.
    pub(crate) findings: Vec<StepFindings>,
}

impl Finished {
    /// Runs what was loaded.
    pub(crate) fn of(loaded: Loaded) -> Result<Self, Failure> {
        let record = simulation::run(&loaded.scenario.machine, &loaded.scenario.course);
        Self::with(loaded, record)
    }

    /// The findings of a run that left `record`.
    pub(crate) fn with(loaded: Loaded, record: Result<Record, RunError>) -> Result<Self, Failure> {
        let record = record
            .map_err(|error| Failure::Untrusted(format!("{}: {error}", loaded.path.display())))?;
        let findings = of_run(&loaded.scenario, &record);
        Ok(Self { loaded, record, findings })
    }
}
