//! The layer on the wall of a line that holds air: dragged along, gathered in low spots, closing the bore.

use super::line::{AirLine, BLOCKED, LineChange, LineEnd, slope_sin};
use crate::two_phase::seal_volume;

/// Slope below which a line counts as level: 1 mm in 1 m.
const LEVEL_SIN: f64 = 1e-3;
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
    /// and which carries liquid uphill if it is as fast as `critical_m_s`, one figure for each half of the line.
    /// Returns what leaves, where the line `opens` into anything at its far end.
    pub(super) fn drag_layer(
        &mut self,
        gas_m_s: f64,
        gas_pa_m: f64,
        critical_m_s: [f64; 2],
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
                let flux = self.layer_flux(k, way, gas_m_s.abs(), gas_pa_m, critical_m_s);
                let last = step + 1 == count && !opens;
                let leaves = if last { 0.0 } else { flux * self.area_m2 * dt };
                // A cell keeps half of what it holds in a sub-step, whatever the law says of thin layers.
                let leaves = leaves.min(0.5 * self.cells_m3[k]);
                self.cells_m3[k] += carried - leaves;
                carried = leaves;
            }
            out += carried;
            self.fall_back(way, gas_m_s.abs(), critical_m_s, dt);
        }
        self.product_m3 -=
            out * if out > 0.0 { self.product_m3 / (self.liquid_m3() + out) } else { 0.0 };
        out
    }

    /// Flow of the layer out of the line's far end, m3/s.
    pub(super) fn leaves_m3_s(&self, gas_m_s: f64, gas_pa_m: f64, critical_m_s: [f64; 2]) -> f64 {
        let (last, way) = if gas_m_s >= 0.0 { (self.cells_m3.len() - 1, 0) } else { (0, 1) };
        self.layer_flux(last, way, gas_m_s.abs(), gas_pa_m, critical_m_s) * self.area_m2
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

    /// Flux of the layer out of stretch `k` with the air, m/s.
    fn layer_flux(
        &self,
        k: usize,
        way: usize,
        gas_m_s: f64,
        gas_pa_m: f64,
        critical: [f64; 2],
    ) -> f64 {
        let count = self.cells_m3.len();
        let holdup = self.cells_m3[k] * count as f64 / self.volume_m3;
        let half = half_of_face(k, way, count);
        let slope = slope_sin(self.rise_m, self.sag_m, self.length_m, half);
        let uphill = if way == 0 { slope } else { -slope };
        if uphill > LEVEL_SIN {
            if gas_m_s < critical[half] {
                return 0.0;
            }
            // Carried as waves and plugs: as much as a layer of no more than that height, its weight counted.
            let carried = CARRIED_HOLDUP.min(holdup);
            return self.laws[way][half].flux(carried, gas_pa_m).flux_m_s.max(0.0);
        }
        self.laws[way][half].flux(holdup, gas_pa_m).flux_m_s.max(0.0)
    }

    /// Lets the layer of rising stretches run back where the air does not carry it.
    fn fall_back(&mut self, way: usize, gas_m_s: f64, critical: [f64; 2], dt_s: f64) {
        let count = self.cells_m3.len();
        let cell_m3 = self.volume_m3 / count as f64;
        for step in 1..count {
            let (k, lower) =
                if way == 0 { (step, step - 1) } else { (count - 1 - step, count - step) };
            let half = half_of(k, count);
            let slope = slope_sin(self.rise_m, self.sag_m, self.length_m, half);
            let uphill = if way == 0 { slope } else { -slope };
            if uphill <= LEVEL_SIN || gas_m_s >= critical[half] || half_of(lower, count) != half {
                continue;
            }
            let flux = self.laws[way][half].flux(self.cells_m3[k] / cell_m3, 0.0).flux_m_s;
            let falls = (-flux * self.area_m2 * dt_s).min(0.5 * self.cells_m3[k]).max(0.0);
            let room = (cell_m3 - self.cells_m3[lower]).max(0.0);
            self.cells_m3[k] -= falls.min(room);
            self.cells_m3[lower] += falls.min(room);
        }
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
        let k = if end == 0 { 0 } else { self.cells_m3.len() - 1 };
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
