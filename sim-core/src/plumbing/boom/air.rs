//! What compressed air adds to a boom: a check valve ahead of the main, and a way back to the tank.

use super::build::{BoomDraft, line};
use crate::plumbing::{BranchId, NodeId, Part, Side};

impl BoomDraft<'_> {
    /// The check valve that keeps air from the pump side, behind `last`; where the main then starts.
    pub(super) fn air_check(&mut self, last: NodeId) -> NodeId {
        let Some(air) = &self.design.air else { return last };
        let inlet = self.sketch.node("air-inlet", self.design.pump_above_boom_m);
        self.add("air-check", [last, inlet], Part::CheckValve(air.check.clone()), Side::Feed);
        inlet
    }

    /// The way back to the tank from where the main starts for air that enters at the return side: its valve.
    pub(super) fn way_back(&mut self, main_starts: NodeId) -> Option<BranchId> {
        let back = self.design.air.as_ref()?.back.as_ref()?;
        let after = self.sketch.node("back-valve-out", self.design.pump_above_boom_m);
        let valve = Part::Valve(back.valve.clone());
        let valve = self.add("back-valve", [main_starts, after], valve, Side::Tank);
        let ends = [after, self.tank_inlet()];
        self.add("back", ends, line(&back.line, 0.0), Side::Tank);
        Some(valve)
    }
}
