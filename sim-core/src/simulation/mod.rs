//! Runs a scenario step by step and keeps the record.

mod balance;
mod flow;
mod march;
mod record;
mod run;
mod watch;

pub use balance::imbalance;
pub use record::{Arrival, Ended, MovedRecord, Record, Sample, StepRecord};
pub use run::{RunError, run, run_watched};
