//! A layer without slip: liquid and air run as one homogeneous mixture.

use super::line::AirLine;

impl AirLine {
    /// Moves the liquid of every stretch for `dt_s` at `mixture_m_s`, the velocity of liquid and air together (from `from` to
    /// `to`). Returns what leaves, m3, where the line `opens` into anything at its far end.
    ///
    /// Share of the bore and share of the flow are then the same: the definition of homogeneous flow (G. B. Wallis,
    /// *One-dimensional Two-phase Flow*, 1969, ch. 2). Upwind, first order.
    pub(super) fn carry_along(&mut self, mixture_m_s: f64, opens: bool, dt_s: f64) -> f64 {
        let count = self.cells_m3.len();
        let cells_passed = mixture_m_s.abs() * dt_s * self.area_m2 * count as f64 / self.volume_m3;
        let steps = (2.0 * cells_passed).ceil().max(1.0);
        let share = cells_passed / steps;
        let before = self.liquid_m3();
        let mut out = 0.0;
        for _ in 0..steps as usize {
            let mut carried = 0.0;
            for step in 0..count {
                let k = if mixture_m_s >= 0.0 { step } else { count - 1 - step };
                let closed = step + 1 == count && !opens;
                let leaves = if closed { 0.0 } else { share * self.cells_m3[k] };
                self.cells_m3[k] += carried - leaves;
                carried = leaves;
            }
            out += carried;
        }
        if out > 0.0 {
            self.product_m3 -= self.product_m3 * (out / before);
        }
        out
    }
}
