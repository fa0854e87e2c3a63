//! What compressed air adds to a boom: a check valve ahead of the main, and a way home.

use super::build::{Work, line};
use super::built::BuiltAir;
use crate::plumbing::{NodeId, Part, Side};

impl Work<'_> {
    /// The check valve that keeps air from the pump side, behind `last`; where the main then starts.
    pub(super) fn air_check(&mut self, last: NodeId) -> NodeId {
        let Some(air) = &self.design.air else { return last };
        let inlet = self.sketch.node("air-inlet", self.design.pump_above_boom_m);
        self.add("air-check", [last, inlet], Part::CheckValve(air.check.clone()), Side::Feed);
        inlet
    }

    /// The way home from where the main starts, and where air can enter.
    pub(super) fn air(
        &mut self,
        main_starts: NodeId,
        return_header: Option<NodeId>,
    ) -> Option<BuiltAir> {
        let air = self.design.air.as_ref()?;
        let Some(back) = &air.back else {
            let (return_side, back_valve) = (None, None);
            return Some(BuiltAir { feed_side: main_starts, return_side, back_valve });
        };
        let after = self.sketch.node("back-valve-out", self.design.pump_above_boom_m);
        let valve = Part::Valve(back.valve.clone());
        let valve = self.add("back-valve", [main_starts, after], valve, Side::Tank);
        let ends = [after, self.tank_inlet()];
        self.add("back", ends, line(&back.line, 0.0), Side::Tank);
        let (return_side, back_valve) = (return_header, Some(valve));
        Some(BuiltAir { feed_side: main_starts, return_side, back_valve })
    }
}
