//! A line that liquid and air share: one column of liquid, or a layer on the wall.

use crate::fluids::Liquid;
use crate::plumbing::Line;
use crate::two_phase::{Layer, LayerLaw, seal_volume};

/// End of a line: 0 is its `from` end, 1 its `to` end.
pub(super) type End = usize;

/// Longest stretch of a layer taken as one, m, and the most of them in a line.
const CELL_M: f64 = 0.25;
const MOST_CELLS: usize = 60;
/// Share of a line's volume that counts as nothing: a column so short has broken through, a gap so short is
/// closed.
const NEXT_TO_NOTHING: f64 = 2e-3;
/// Share of a stretch from which its layer blocks the bore.
const BLOCKED: f64 = 0.97;

/// What a line holds.
#[derive(Clone, Debug)]
pub(in crate::transport) struct PartLine {
    pub(super) volume_m3: f64,
    pub(super) area_m2: f64,
    pub(super) length_m: f64,
    pub(super) bore_m: f64,
    rise_m: f64,
    sag_m: f64,
    /// Liquid of the column.
    pub(super) column_m3: f64,
    /// Bore at either end that the column does not fill.
    pub(super) gap_m3: [f64; 2],
    /// Liquid that clings there.
    film_m3: [f64; 2],
    /// Layer of a line without a column, stretch by stretch from its `from` end.
    pub(super) cells_m3: Vec<f64>,
    /// Whether there is no column.
    pub(super) airy: bool,
    pub(in crate::transport) product_m3: f64,
    /// Layer laws of the first and second half, counted from `from` to `to` and back.
    laws: [[LayerLaw; 2]; 2],
}

/// What became of a line in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Change {
    /// It is as it was.
    None,
    /// Its column is gone: air passes from end to end.
    BrokenThrough,
    /// Its layer has closed the bore somewhere.
    Blocked,
}

impl PartLine {
    fn new(line: &Line, rise_m: f64, liquid: &Liquid) -> Self {
        let (length_m, volume_m3) = (line.length_m.max(1e-6), line.volume_m3().max(1e-12));
        let count = ((length_m / CELL_M).ceil() as usize).clamp(1, MOST_CELLS);
        let slope = |half: usize| slope_sin(rise_m, line.sag_m, length_m, half);
        let law = |half: usize, sign: f64| {
            LayerLaw::new(Layer::default(), line.bore_m, sign * slope(half), liquid)
        };
        Self {
            volume_m3,
            area_m2: line.area_m2(),
            length_m,
            bore_m: line.bore_m,
            rise_m,
            sag_m: line.sag_m,
            column_m3: 0.0,
            gap_m3: [0.0; 2],
            film_m3: [0.0; 2],
            cells_m3: vec![0.0; count],
            airy: true,
            product_m3: 0.0,
            laws: [[law(0, 1.0), law(1, 1.0)], [law(0, -1.0), law(1, -1.0)]],
        }
    }

    /// A line that holds nothing but air.
    pub(super) fn dry(line: &Line, rise_m: f64, liquid: &Liquid) -> Self {
        Self::new(line, rise_m, liquid)
    }

    /// A line full of `column_m3` of liquid with `product_m3` in it.
    pub(super) fn full(
        line: &Line,
        rise_m: f64,
        liquid: &Liquid,
        column_m3: f64,
        product_m3: f64,
    ) -> Self {
        Self { column_m3, product_m3, airy: false, ..Self::new(line, rise_m, liquid) }
    }

    pub(in crate::transport) fn liquid_m3(&self) -> f64 {
        if self.airy {
            self.cells_m3.iter().sum()
        } else {
            self.column_m3 + self.film_m3[0] + self.film_m3[1]
        }
    }

    pub(in crate::transport) fn strength(&self) -> f64 {
        let liquid = self.liquid_m3();
        if liquid > 0.0 { self.product_m3 / liquid } else { 0.0 }
    }

    /// Liquid in the column, and in films and layers.
    pub(super) fn column_and_layer_m3(&self) -> (f64, f64) {
        let column = if self.airy { 0.0 } else { self.column_m3 };
        (column, self.liquid_m3() - column)
    }

    /// Air that belongs to the node at `end`.
    pub(super) fn free_m3(&self, end: End) -> f64 {
        if self.airy {
            0.5 * (self.volume_m3 - self.liquid_m3()).max(0.0)
        } else {
            (self.gap_m3[end] - self.film_m3[end]).max(0.0)
        }
    }

    /// Mean holdup of a line without a column.
    pub(super) fn holdup(&self) -> f64 {
        (self.liquid_m3() / self.volume_m3).clamp(0.0, 1.0)
    }

    /// Whether air stands at `end`.
    pub(super) fn is_airy_at(&self, end: End) -> bool {
        self.airy || self.gap_m3[end] > 0.0
    }

    /// Whether it is full from end to end.
    pub(super) fn is_full(&self) -> bool {
        !self.airy && self.gap_m3 == [0.0; 2]
    }

    /// Length of the column, m, and how much higher its `to` side stands, m.
    pub(super) fn column(&self) -> (f64, f64) {
        let from = self.gap_m3[0] / self.area_m2;
        let to = (self.length_m - self.gap_m3[1] / self.area_m2).max(from);
        (to - from, self.height_m(to) - self.height_m(from))
    }

    fn height_m(&self, x_m: f64) -> f64 {
        let along = x_m / self.length_m;
        self.rise_m * along - self.sag_m * (1.0 - (2.0 * along - 1.0).abs())
    }

    /// Sine of the slope where the column's air side at `end` stands, upward in the direction in which air
    /// there pushes.
    pub(super) fn slope_at_gap(&self, end: End) -> f64 {
        let from = self.gap_m3[0] / self.volume_m3;
        let at = if end == 0 { from } else { 1.0 - self.gap_m3[1] / self.volume_m3 };
        let slope = slope_sin(self.rise_m, self.sag_m, self.length_m, usize::from(at >= 0.5));
        if end == 0 { slope } else { -slope }
    }

    /// Takes up to `volume_m3` out of the column at its end; returns what it took.
    pub(super) fn take_from_column(&mut self, volume_m3: f64) -> f64 {
        let taken = volume_m3.min(self.column_m3);
        self.product_m3 -= taken * self.strength();
        self.column_m3 -= taken;
        taken
    }

    /// Moves the column by `moved_m3` away from `inlet`, of which `taken_m3` has left already if it stands at
    /// the other end; `inflow_m3` of liquid has come in at `inlet`, where air stands if `inlet_air`. The front of
    /// air leaves the share `left_behind` of the bore.
    pub(super) fn move_column(
        &mut self,
        inlet: End,
        (moved_m3, taken_m3, inflow_m3): (f64, f64, f64),
        inlet_air: bool,
        left_behind: f64,
    ) {
        let outlet = 1 - inlet;
        let attached = self.gap_m3[outlet] <= 0.0;
        let displaced = if attached { taken_m3 } else { moved_m3 };
        if inlet_air {
            let pushed = if self.gap_m3[inlet] > 0.0 {
                self.film_m3[inlet] += inflow_m3;
                displaced
            } else {
                self.column_m3 += inflow_m3;
                (displaced - inflow_m3).max(0.0)
            };
            let left = (left_behind / (1.0 - left_behind) * pushed).min(self.column_m3);
            self.film_m3[inlet] += left;
            self.column_m3 -= left;
        } else {
            self.column_m3 += inflow_m3;
        }
        if !attached {
            let share = (self.film_m3[outlet] / self.gap_m3[outlet]).min(0.99);
            let advance = (displaced / (1.0 - share)).min(self.gap_m3[outlet]);
            let picked = share * advance;
            self.film_m3[outlet] -= picked;
            self.column_m3 += picked;
            self.gap_m3[outlet] -= advance;
        }
        let (follows, stays) = if inlet_air { (inlet, outlet) } else { (outlet, inlet) };
        if inlet_air || !attached {
            self.gap_m3[follows] = (self.volume_m3 - self.column_m3 - self.gap_m3[stays]).max(0.0);
        }
    }

    /// Tidies up after a move: joins what touches, notes a column that is gone.
    pub(super) fn tidy(&mut self, inlet: End, inlet_air: bool) -> Change {
        let nothing = NEXT_TO_NOTHING * self.volume_m3;
        if self.airy {
            return self.plug();
        }
        if inlet_air && self.column_m3 <= nothing {
            self.spread();
            return Change::BrokenThrough;
        }
        for end in 0..2 {
            let gap = self.gap_m3[end];
            let closes = end != inlet && gap <= nothing;
            if gap > 0.0 && (closes || self.film_m3[end] >= BLOCKED * gap) {
                self.column_m3 += std::mem::take(&mut self.film_m3[end]);
                self.gap_m3[end] = 0.0;
            }
        }
        Change::None
    }

    /// Turns the column into part of the layer.
    pub(super) fn spread(&mut self) {
        let each = self.liquid_m3() / self.cells_m3.len() as f64;
        self.cells_m3.fill(each);
        (self.column_m3, self.film_m3, self.gap_m3) = (0.0, [0.0; 2], [0.0; 2]);
        self.airy = true;
    }

    /// Begins a column at `end`, where liquid stands now.
    pub(super) fn flood(&mut self, end: End) {
        let layer = self.liquid_m3();
        self.cells_m3.fill(0.0);
        self.airy = false;
        self.column_m3 = 0.0;
        self.gap_m3[end] = 0.0;
        self.film_m3[end] = 0.0;
        self.gap_m3[1 - end] = self.volume_m3;
        self.film_m3[1 - end] = layer;
    }

    /// Turns a stretch whose layer closes the bore into a column.
    fn plug(&mut self) -> Change {
        let cell = self.volume_m3 / self.cells_m3.len() as f64;
        let closed = |k: usize| BLOCKED.mul_add(-cell, self.cells_m3[k]) >= 0.0 || self.seals(k);
        let Some(at) = (0..self.cells_m3.len()).find(|k| closed(*k)) else { return Change::None };
        let count = self.cells_m3.len();
        let before: f64 = self.cells_m3[..at].iter().sum();
        let after: f64 = self.cells_m3[at + 1..].iter().sum();
        self.column_m3 = self.cells_m3[at];
        let spare = (cell - self.column_m3).max(0.0);
        // At an end, the column stands there; between, in the middle of its stretch.
        let (ahead, behind) = match at {
            0 => (0.0, spare),
            _ if at + 1 == count => (spare, 0.0),
            _ => (0.5 * spare, 0.5 * spare),
        };
        self.gap_m3 = [at as f64 * cell + ahead, (count - 1 - at) as f64 * cell + behind];
        self.film_m3 = [before, after];
        self.cells_m3.fill(0.0);
        self.airy = false;
        Change::Blocked
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

    /// Moves the layer for `dt_s` under air of `gas_m_s` (from `from` to `to`) whose own gradient is `gas_pa_m`
    /// >= 0 and which carries liquid uphill from `critical` (by half of the line) on. Returns what
    /// leaves, if the line `opens` into anything at its far end.
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
            let fastest = (0..count).map(|k| {
                let holdup = self.cells_m3[k] / cell_m3;
                self.laws[way][half_of(k, count)].flux(holdup, gas_pa_m).fastest_m_s
            });
            let fastest = fastest.fold(1e-9, f64::max);
            let dt = left.min(0.5 * cell_m3 / self.area_m2 / fastest).max(1e-3 * dt_s);
            left -= dt;
            let mut carried = 0.0;
            for step in 0..count {
                // From the end the air comes in at.
                let k = if forward { step } else { count - 1 - step };
                let flux = self.layer_flux(k, way, gas_m_s.abs(), gas_pa_m, critical_m_s);
                let last = step + 1 == count && !opens;
                let leaves = if last { 0.0 } else { flux * self.area_m2 * dt };
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
            // Carried as waves and plugs, as fast as a layer of that height on the level.
            let level = LEVEL_HOLDUP.min(holdup);
            return self.laws[way][half].flux(level, gas_pa_m).flux_m_s.max(0.0);
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
            let falls = (-flux * self.area_m2 * dt_s).clamp(0.0, 0.5 * self.cells_m3[k]);
            let room = (cell_m3 - self.cells_m3[lower]).max(0.0);
            self.cells_m3[k] -= falls.min(room);
            self.cells_m3[lower] += falls.min(room);
        }
    }

    /// Lets liquid into the layer at `end`.
    pub(super) fn add_to_layer(&mut self, end: End, volume_m3: f64) {
        let k = if end == 0 { 0 } else { self.cells_m3.len() - 1 };
        self.cells_m3[k] += volume_m3;
    }

    /// Liquid lying in a low spot of a line without a column.
    pub(super) fn pool_m3(&self) -> f64 {
        match self.low_stretch().0 {
            Some(k) if self.airy => self.cells_m3[k.min(self.cells_m3.len() - 1)],
            _ => 0.0,
        }
    }

    /// Sine of the slope of either half, upward from `from` to `to`.
    pub(super) fn slopes(&self) -> [f64; 2] {
        [0, 1].map(|half| slope_sin(self.rise_m, self.sag_m, self.length_m, half))
    }
}

/// Slope below which a line counts as level: 1 mm in 1 m.
const LEVEL_SIN: f64 = 1e-3;
/// Holdup of the layer that strong air carries uphill.
const LEVEL_HOLDUP: f64 = 0.3;

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

fn slope_sin(rise_m: f64, sag_m: f64, length_m: f64, half: usize) -> f64 {
    let sag = if half == 0 { -sag_m } else { sag_m };
    ((rise_m + 2.0 * sag) / length_m).clamp(-1.0, 1.0)
}
