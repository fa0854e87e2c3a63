//! What the pictures of one step show.

use sim_core::findings::StepFindings;
use sim_core::hydraulics::FlowState;
use sim_core::procedure::Step;
use sim_core::scenario::Scenario;
use sim_core::units::UnitSystem;

/// One step as the pictures see it.
pub(super) struct View<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) step: &'a Step,
    pub(super) end: &'a FlowState,
    pub(super) findings: &'a StepFindings,
    pub(super) units: UnitSystem,
}
