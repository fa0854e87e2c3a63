//! What can be wrong with a machine, and where.

use crate::plumbing::{BranchId, GaugeId, SectionId, TipId};

/// A kind of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FaultKind {
    /// A strainer of suction or pressure side loaded with dirt.
    StrainerPlugged,
    /// A hose kinked or collapsed.
    HoseKinked,
    /// A valve that does not open fully.
    ValvePartOpen,
    /// A hose of another bore than stated: undersized or swapped.
    HoseOtherBore,
    /// Worn tips in one section.
    SectionWorn,
    /// Worn tips over the whole boom.
    BoomWorn,
    /// One tip of another tip size, or partly plugged.
    TipWrong,
    /// The same at one of the tips of a section that were not caught.
    TipUncaught,
    /// A tip without its strainer.
    TipStrainerMissing,
    /// A tip's or line's check valve stuck closed.
    CheckStuck,
    /// The pump turns slower than shown.
    PumpSlow,
    /// The pump is worn: it leaks inside and delivers less at equal head.
    PumpWorn,
    /// A relief or bypass valve passes when it should be closed.
    ValvePasses,
    /// Air drawn in on the suction side.
    AirAtSuction,
    /// A gauge reads off in proportion.
    GaugeOff,
    /// A flow meter reads off in proportion.
    MeterOff,
}

impl FaultKind {
    /// Every kind.
    pub const ALL: [Self; 16] = [
        Self::StrainerPlugged,
        Self::HoseKinked,
        Self::ValvePartOpen,
        Self::HoseOtherBore,
        Self::SectionWorn,
        Self::BoomWorn,
        Self::TipWrong,
        Self::TipUncaught,
        Self::TipStrainerMissing,
        Self::CheckStuck,
        Self::PumpSlow,
        Self::PumpWorn,
        Self::ValvePasses,
        Self::AirAtSuction,
        Self::GaugeOff,
        Self::MeterOff,
    ];
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
