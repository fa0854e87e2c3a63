//! What a run leaves behind: the only thing findings, tables and plots read.

use crate::hydraulics::Instant;

/// The record of a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// One entry for each step of the scenario, in order.
    pub steps: Vec<StepRecord>,
}

/// The record of one step.
#[derive(Clone, Debug, PartialEq)]
pub struct StepRecord {
    /// Pressures and flows at its end.
    pub end: Instant,
    /// Largest imbalance of flow at a node, over the largest flow.
    pub imbalance: f64,
}
