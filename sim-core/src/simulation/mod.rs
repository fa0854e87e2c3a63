//! Runs a scenario step by step and keeps the record.

mod balance;
mod march;
mod record;
mod run;

pub use balance::imbalance;
pub use record::{Arrival, MovedRecord, Record, Series, StepRecord};
pub use run::{RunError, run};
