//! Runs a scenario step by step and keeps the record.

mod record;
mod run;

pub use record::{Record, StepRecord};
pub use run::{RunError, run};
