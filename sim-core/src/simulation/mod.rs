//! Runs a course of steps on a machine and keeps the record.
//!
//! [`run`] is the entry point; [`run_watched`] tells how far it is; a [`Session`] is advanced by a given time, and its settings may
//! change on the way. The [`Record`] is all that a run leaves behind:
//! findings, tables and pictures read it and nothing else.

mod air_march;
mod air_record;
mod air_recorder;
mod air_steps;
mod balance;
mod error;
mod flow;
mod forecast;
mod march;
mod parting;
mod passage;
mod probe_sample;
mod record;
mod recorder;
mod run;
mod session;

pub use air_record::{AirRecord, AirSample, ReceiverRecord};
pub use balance::imbalance;
pub use error::RunError;
pub use forecast::expected_s;
pub use probe_sample::ProbeSample;
pub use record::{Arrival, Ended, MovedRecord, Parted, Record, Sample, StepRecord};
pub use run::{run, run_watched};
pub use session::Session;
