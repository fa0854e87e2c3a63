//! A built boom: the plumbing and where its well-known parts stand in it.

use crate::plumbing::{BranchId, NodeId, Plumbing};

/// A boom machine's plumbing with handles to the parts that steps and controls name.
#[derive(Clone, Debug, PartialEq)]
pub struct BuiltBoom {
    /// The network.
    pub plumbing: Plumbing,
    /// The pump.
    pub pump: BranchId,
    /// Where the section valves meet and the boom gauge sits.
    pub header: NodeId,
    /// The bypass valve, if fitted.
    pub bypass: Option<BranchId>,
    /// The recirculation valve, if the sections return.
    pub return_valve: Option<BranchId>,
}
