//! Runs a scenario step by step and keeps the record.

mod record;

pub use record::{Record, StepRecord};
