//! What a run's record keeps beside what every run keeps.

use crate::plumbing::{BranchId, NodeId};

/// What the record keeps over time at the user's wish.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RecordOptions {
    /// Places that are watched.
    pub probes: Vec<Probe>,
    /// Lines and parts whose flow and contents go into the table over time.
    pub lines: Vec<BranchId>,
    /// Most moments kept of a step, >= 2; `None`: as many as files and pages can carry.
    pub most_moments: Option<usize>,
}

/// A place whose pressure, flow and concentration are watched.
#[derive(Clone, Debug, PartialEq)]
pub struct Probe {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub place: ProbePlace,
}

/// Where a probe is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProbePlace {
    /// At a node.
    Node(NodeId),
    /// In a line, so far from its `from` end, m, from 0 to its length.
    Along {
        /// The line.
        line: BranchId,
        /// How far along, m.
        distance_m: f64,
    },
}
