//! The layer on the wall of a line that holds air: dragged along, gathered in low spots, closing the bore.

use super::line::{AirLine, BLOCKED, LineChange, LineEnd, slope_sin};
use crate::two_phase::seal_volume;

/// Slope below which a line counts as level: 1 mm in 1 m.
pub(super) const LEVEL_SIN: f64 = 1e-3;
/// Highest holdup of the layer that strong air carries uphill.
const CARRIED_HOLDUP: f64 = 0.3;

fn half_of(k: usize, count: usize) -> usize {
    usize::from(2 * k >= count && count > 1)
}

/// Half of the line in which the outlet of stretch `k` lies.
fn half_of_face(k: usize, way: usize, count: usize) -> usize {
    if way == 0 {
        half_of((k + 1).min(count - 1), count)
    } else {
        half_of(k.saturating_sub(1), count)
    }
}

impl AirLine {
    /// Moves the layer for `dt_s` under air of `gas_m_s` (from `from` to `to`) whose own gradient is `gas_pa_m`
    /// and which carries the shares `carries` of it uphill, one figure for each half of the line.
    /// Returns what leaves, where the line `opens` into anything at its far end. Where weight is more than drag, the layer
    /// runs against the air.
    pub(super) fn drag_layer(
        &mut self,
        gas_m_s: f64,
        gas_pa_m: f64,
        carries: [f64; 2],
        opens: bool,
        dt_s: f64,
    ) -> f64 {
        let count = self.cells_m3.len();
        let cell_m3 = self.volume_m3 / count as f64;
        let forward = gas_m_s >= 0.0;
        let way = usize::from(!forward);
        let (mut left, mut out) = (dt_s, 0.0);
        while left > 1e-9 * dt_s {
            let fastest = self.fastest_m_s(way, gas_pa_m);
            // Half a cell at most in a sub-step (Courant), and no more than a thousand of them: what a cell may give is
            // bounded below, so a step too long smears and does not overshoot.
            let dt = left.min(0.5 * cell_m3 / self.area_m2 / fastest).max(1e-3 * dt_s);
            left -= dt;
            let mut carried = 0.0;
            for step in 0..count {
                // From the end the air comes in at.
                let k = if forward { step } else { count - 1 - step };
                let flux = self.layer_flux(k, way, gas_pa_m, carries);
                if flux < 0.0 {
                    self.cells_m3[k] += carried;
                    carried = 0.0;
                    self.run_back(k, way, -flux * self.area_m2 * dt);
                    continue;
                }
                let last = step + 1 == count && !opens;
                let leaves = if last { 0.0 } else { flux * self.area_m2 * dt };
                // A cell keeps half of what it holds in a sub-step, whatever the law says of thin layers.
                let leaves = leaves.min(0.5 * self.cells_m3[k]);
                self.cells_m3[k] += carried - leaves;
                carried = leaves;
            }
            out += carried;
        }
        self.product_m3 -=
            out * if out > 0.0 { self.product_m3 / (self.liquid_m3() + out) } else { 0.0 };
        out
    }

    /// Flow of the layer out of the line's far end, m3/s.
    pub(super) fn leaves_m3_s(&self, gas_m_s: f64, gas_pa_m: f64, carries: [f64; 2]) -> f64 {
        let (last, way) = if gas_m_s >= 0.0 { (self.cells_m3.len() - 1, 0) } else { (0, 1) };
        (self.layer_flux(last, way, gas_pa_m, carries) * self.area_m2).max(0.0)
    }

    /// Fastest that a small step in the layer runs, m/s: where the layer is highest in either half.
    fn fastest_m_s(&self, way: usize, gas_pa_m: f64) -> f64 {
        let count = self.cells_m3.len();
        let per_cell = count as f64 / self.volume_m3;
        let mut highest = [0.0f64; 2];
        for (k, cell) in self.cells_m3.iter().enumerate() {
            let half = half_of(k, count);
            highest[half] = highest[half].max(cell * per_cell);
        }
        let alike = self.rise_m == 0.0 && self.sag_m == 0.0;
        if alike {
            highest = [highest[0].max(highest[1]), 0.0];
        }
        let at = |half: usize| {
            let law = &self.laws[way][half];
            if highest[half] > 0.0 { law.flux(highest[half], gas_pa_m).fastest_m_s } else { 0.0 }
        };
        at(0).max(at(1)).max(1e-9)
    }

    /// Flux of the layer out of stretch `k` with the air, m/s; against it if negative.
    fn layer_flux(&self, k: usize, way: usize, gas_pa_m: f64, carries: [f64; 2]) -> f64 {
        let count = self.cells_m3.len();
        let holdup = self.cells_m3[k] * count as f64 / self.volume_m3;
        let half = half_of_face(k, way, count);
        let law = &self.laws[way][half];
        if self.uphill(half, way) <= LEVEL_SIN {
            return law.flux(holdup, gas_pa_m).flux_m_s.max(0.0);
        }
        let share = carries[half];
        // Carried as waves and plugs: as much as a layer of no more than that height.
        let carried = law.carried(CARRIED_HOLDUP.min(holdup), gas_pa_m).max(0.0);
        if share >= 1.0 {
            return carried;
        }
        // Drag is left out: the rule says that air holds nothing of the rest up.
        let falls = self.laws[way][half_of(k, count)].flux(holdup, 0.0).flux_m_s.min(0.0);
        share * carried + (1.0 - share) * falls
    }

    /// Sine of the slope of `half` upward with the air.
    fn uphill(&self, half: usize, way: usize) -> f64 {
        let slope = slope_sin(self.rise_m, self.sag_m, self.length_m, half);
        if way == 0 { slope } else { -slope }
    }

    /// Lets up to `volume_m3` of stretch `k` run back into the one the air comes from, as far as that has room.
    fn run_back(&mut self, k: usize, way: usize, volume_m3: f64) {
        let count = self.cells_m3.len();
        let lower = if way == 0 { k.wrapping_sub(1) } else { k + 1 };
        if lower >= count {
            return;
        }
        let room = (self.volume_m3 / count as f64 - self.cells_m3[lower]).max(0.0);
        let falls = volume_m3.min(0.5 * self.cells_m3[k]).min(room);
        self.cells_m3[k] -= falls;
        self.cells_m3[lower] += falls;
    }

    /// Whether any of it is other than level.
    pub(super) fn is_sloped(&self) -> bool {
        self.rise_m != 0.0 || self.sag_m != 0.0
    }

    /// Height of the liquid that air forward and backward would have to lift, m: holdup times rise, where the line rises in
    /// that direction.
    pub(super) fn lifted_m(&self) -> [f64; 2] {
        let mut lifted = [0.0; 2];
        if !self.layered || !self.is_sloped() {
            return lifted;
        }
        let count = self.cells_m3.len();
        for half in 0..2 {
            let slope = slope_sin(self.rise_m, self.sag_m, self.length_m, half);
            let cells =
                self.cells_m3.iter().enumerate().filter(|(k, _)| half_of(*k, count) == half);
            let liquid_m3: f64 = cells.map(|(_, cell)| cell).sum();
            lifted[usize::from(slope < 0.0)] += slope.abs() * liquid_m3 / self.area_m2;
        }
        lifted
    }

    /// Sine of the slope at `end`, upward into the line.
    pub(super) fn rises_from(&self, end: LineEnd) -> f64 {
        let half = if end == 0 { 0 } else { half_of(self.cells_m3.len() - 1, self.cells_m3.len()) };
        self.uphill(half, end)
    }

    /// What runs out of the layer at `end` by its weight in `dt_s`, m3, half of the stretch there at most.
    pub(super) fn falls_out_m3(&self, end: LineEnd, dt_s: f64) -> f64 {
        let flux = self.laws[end][end].flux(self.holdup_at(end), 0.0).flux_m_s;
        (-flux * self.area_m2 * dt_s).clamp(0.0, 0.5 * self.cells_m3[self.last(end)])
    }

    /// Holdup of the layer in the stretch at `end`.
    pub(super) fn holdup_at(&self, end: LineEnd) -> f64 {
        self.cells_m3[self.last(end)] / self.cell_m3()
    }

    /// Volume of a stretch, m3.
    pub(super) fn cell_m3(&self) -> f64 {
        self.volume_m3 / self.cells_m3.len() as f64
    }

    /// Takes `volume_m3` out of the stretch at `end`, which holds as much.
    pub(super) fn take_from_layer(&mut self, end: LineEnd, volume_m3: f64) {
        self.product_m3 -= volume_m3 * self.concentration();
        let k = self.last(end);
        self.cells_m3[k] -= volume_m3;
    }

    fn last(&self, end: LineEnd) -> usize {
        if end == 0 { 0 } else { self.cells_m3.len() - 1 }
    }

    /// Lets liquid in where air is at `end`.
    pub(super) fn lay(&mut self, end: LineEnd, volume_m3: f64, concentration: f64) {
        self.product_m3 += volume_m3 * concentration;
        if self.layered {
            self.add_to_layer(end, volume_m3);
        } else if self.gap_m3[end] > 0.0 {
            self.film_m3[end] += volume_m3;
        } else {
            self.column_m3 += volume_m3;
        }
    }

    /// Lets liquid into the layer at `end`.
    pub(super) fn add_to_layer(&mut self, end: LineEnd, volume_m3: f64) {
        let k = self.last(end);
        self.cells_m3[k] += volume_m3;
    }

    /// Hands on what stretches hold beyond their bore, first towards the `to` end, then back.
    fn spill(&mut self) {
        let count = self.cells_m3.len();
        let cell_m3 = self.volume_m3 / count as f64;
        for step in 0..2 * (count - 1) {
            let (k, next) = if step + 1 < count {
                (step, step + 1)
            } else {
                (2 * (count - 1) - step, 2 * (count - 1) - step - 1)
            };
            let beyond = (self.cells_m3[k] - cell_m3).max(0.0);
            self.cells_m3[k] -= beyond;
            self.cells_m3[next] += beyond;
        }
    }

    /// Liquid lying in a low spot of a line without a column.
    pub(super) fn pool_m3(&self) -> f64 {
        self.pool_stretch().map_or(0.0, |k| self.cells_m3[k])
    }

    /// The stretch of a line without a column in which liquid gathers, if it has a low spot.
    pub(super) fn pool_stretch(&self) -> Option<usize> {
        let (low, _) = self.low_stretch();
        low.filter(|_| self.layered).map(|k| k.min(self.cells_m3.len() - 1))
    }

    /// Turns a stretch whose layer closes the bore into a column.
    pub(super) fn plug(&mut self) -> LineChange {
        self.spill();
        let cell = self.volume_m3 / self.cells_m3.len() as f64;
        let closed = |k: usize| BLOCKED.mul_add(-cell, self.cells_m3[k]) >= 0.0 || self.seals(k);
        let Some(at) = (0..self.cells_m3.len()).find(|k| closed(*k)) else {
            return LineChange::None;
        };
        let count = self.cells_m3.len();
        let before: f64 = self.cells_m3[..at].iter().sum();
        let after: f64 = self.cells_m3[at + 1..].iter().sum();
        self.column_m3 = self.cells_m3[at];
        let spare = (cell - self.column_m3).max(0.0);
        // At an end, the column is there; between, in the middle of its stretch.
        let (ahead, behind) = match at {
            0 => (0.0, spare),
            _ if at + 1 == count => (spare, 0.0),
            _ => (0.5 * spare, 0.5 * spare),
        };
        self.gap_m3 = [at as f64 * cell + ahead, (count - 1 - at) as f64 * cell + behind];
        self.film_m3 = [before, after];
        self.cells_m3.fill(0.0);
        self.layered = false;
        LineChange::Blocked
    }

    /// Whether the pool in stretch `k` closes the bore because it lies in a low spot.
    fn seals(&self, k: usize) -> bool {
        let count = self.cells_m3.len();
        let (Some(low), legs) = self.low_stretch() else { return false };
        if low.min(count - 1) != k {
            return false;
        }
        let least = self.area_m2 * self.bore_m;
        let sealed: f64 = legs.iter().flatten().map(|sin| seal_volume(self.bore_m, *sin)).sum();
        self.cells_m3[k] >= sealed.max(least)
    }

    /// The stretch where a layer that is not carried uphill gathers, and the slopes of the legs that meet there.
    fn low_stretch(&self) -> (Option<usize>, [Option<f64>; 2]) {
        if !self.slips {
            return (None, [None; 2]);
        }
        let count = self.cells_m3.len();
        let slope = |half| slope_sin(self.rise_m, self.sag_m, self.length_m, half);
        let (first, second) = (slope(0), slope(1));
        if first < -LEVEL_SIN && second > LEVEL_SIN {
            (Some(count.div_ceil(2) - 1), [Some(-first), Some(second)])
        } else if first > LEVEL_SIN {
            (Some(0), [Some(first), None])
        } else if second < -LEVEL_SIN {
            (Some(count - 1), [Some(-second), None])
        } else {
            (None, [None; 2])
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluids::water;
    use crate::plumbing::Line;
    use approx::assert_relative_eq;

    fn holding(share: f64, line: &Line, rise_m: f64) -> AirLine {
        let mut line = AirLine::dry(line, rise_m, &water(20.0), true);
        let each = share * line.cell_m3();
        line.cells_m3.fill(each);
        line
    }

    /// Hand calculation: 0.29 of 2 m are 0.58 m of water, 57 mbar.
    #[test]
    fn air_up_a_riser_lifts_its_holdup_times_its_rise_and_air_down_nothing() {
        let riser = holding(0.29, &Line::plain(0.022, 2.0), 2.0);
        let [up, down] = riser.lifted_m();
        assert_relative_eq!(up, 0.58, max_relative = 1e-12);
        assert_eq!(down, 0.0);
        let sagging = Line { sag_m: 0.3, ..Line::plain(0.022, 2.0) };
        let [forth, back] = holding(0.5, &sagging, 0.0).lifted_m();
        assert_relative_eq!(forth, 0.15, max_relative = 1e-12);
        assert_relative_eq!(back, 0.15, max_relative = 1e-12);
    }

    #[test]
    fn what_air_does_not_carry_runs_back_and_nothing_is_lost() {
        let mut riser = holding(0.2, &Line::plain(0.022, 2.0), 0.1);
        let before = riser.liquid_m3();
        let out = riser.drag_layer(1.0, 1.0, [0.0; 2], true, 5.0);
        assert_eq!(out, 0.0);
        assert_relative_eq!(riser.liquid_m3(), before, max_relative = 1e-12);
        assert!(riser.holdup_at(0) > 0.4 && riser.holdup_at(1) < 0.1);
    }
}
