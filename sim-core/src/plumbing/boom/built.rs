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
    /// Where compressed air can enter.
    pub air: Option<BuiltAir>,
}

/// Where compressed air can enter a built boom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BuiltAir {
    /// The start of the main.
    pub feed_side: NodeId,
    /// Where the return hoses meet, if liquid can come home from there.
    pub return_side: Option<NodeId>,
    /// The valve that opens the way home for air from the return side.
    pub back_valve: Option<BranchId>,
}
