//! Runs a scenario step by step and keeps the record.

mod balance;
mod record;
mod run;

pub use balance::imbalance;
pub use record::{Record, StepRecord};
pub use run::{RunError, run};
