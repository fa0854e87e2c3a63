//! What can be wrong with a machine, and where.

use crate::plumbing::{BranchId, GaugeId, NodeId, SectionId, TipId};
use crate::scenario::FAULT_KINDS;

/// A kind of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FaultKind {
    /// A strainer of suction or pressure side loaded with dirt.
    StrainerPlugged,
    /// A hose kinked or collapsed.
    HoseKinked,
    /// A tube partly blocked between two tips.
    TubeBlocked,
    /// A valve that does not open fully.
    ValvePartOpen,
    /// A hose of another bore than stated: undersized or swapped.
    HoseOtherBore,
    /// Worn tips, or larger ones than stated, in one section.
    SectionWorn,
    /// Clogged tips, or smaller ones than stated, in one section.
    SectionClogged,
    /// Worn tips, or larger ones than stated, over the whole boom.
    BoomWorn,
    /// Clogged tips, or smaller ones than stated, over the whole boom.
    BoomClogged,
    /// One tip of another tip size, or partly plugged.
    TipWrong,
    /// The same at one of the tips of a section that were not caught.
    TipUncaught,
    /// A tip without its strainer.
    TipStrainerMissing,
    /// A tip's or line's check valve stuck closed.
    CheckStuck,
    /// A tip's or line's check valve stuck open.
    CheckStuckOpen,
    /// The pump turns slower than shown.
    PumpSlow,
    /// The pump is worn: it leaks inside and delivers less at equal head.
    PumpWorn,
    /// A valve passes, or is not fully closed, where it should be closed.
    ValvePasses,
    /// Liquid leaks out of a hose, a manifold or the end of a tube.
    Leak,
    /// Air drawn in on the suction side.
    AirAtSuction,
    /// A gauge reads off in proportion.
    GaugeOff,
    /// A flow meter reads off in proportion.
    MeterOff,
    /// The liquid is lighter or heavier than stated.
    LiquidDensity,
    /// The liquid is thinner or thicker than stated.
    LiquidViscosity,
}

/// Where a fault sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// The whole boom.
    Boom,
    /// A line or part.
    Branch(BranchId),
    /// A section.
    Section(SectionId),
    /// Where a line ends.
    Node(NodeId),
    /// What the tank holds.
    Liquid,
    /// A tip.
    Tip(TipId),
    /// A gauge of the machine (index into its gauges).
    Gauge(GaugeId),
    /// The gauge the readings were taken with.
    TestGauge,
}

/// A fault at a place, of any severity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// What is wrong.
    pub kind: FaultKind,
    /// Where.
    pub spot: Spot,
}

impl FaultKind {
    /// Its name in files, such as `strainer_plugged`.
    pub fn name(self) -> &'static str {
        FAULT_KINDS[self as usize]
    }
}
