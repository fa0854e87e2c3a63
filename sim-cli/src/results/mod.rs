//! What the commands produce and the writers read.

mod diagnosed;
mod finished;
mod loaded;
mod searched;
mod source;
mod uncertain_run;

pub(crate) use diagnosed::Diagnosed;
pub(crate) use finished::{Finished, FinishedStep};
pub(crate) use loaded::Loaded;
pub(crate) use searched::Searched;
pub(crate) use source::{PROGRAM, Source};
pub(crate) use uncertain_run::UncertainRun;
