//! A line that liquid and air share: one column of liquid, or a layer on the wall.

use super::super::tanks::Amount;
use crate::fluids::Liquid;
use crate::plumbing::Line;
use crate::two_phase::{Layer, LayerLaw};

/// End of a line: 0 is its `from` end, 1 its `to` end.
pub(super) type LineEnd = usize;

/// Longest stretch of a layer taken as one, m, and the most of them in a line.
const CELL_M: f64 = 0.25;
const MOST_CELLS: usize = 60;
/// Share of a line's volume that counts as nothing: a column so short has broken through, a gap so short is
/// closed. No more than a length of so many m in any case.
const NEXT_TO_NOTHING: f64 = 4e-3;
const NOTHING_M: f64 = 5e-3;
/// Share of a stretch from which its layer blocks the bore.
pub(super) const BLOCKED: f64 = 0.97;

/// What a line holds.
#[derive(Clone, Debug)]
pub(in crate::transport) struct AirLine {
    pub(super) volume_m3: f64,
    pub(super) area_m2: f64,
    pub(super) length_m: f64,
    pub(super) bore_m: f64,
    pub(super) rise_m: f64,
    pub(super) sag_m: f64,
    /// Liquid of the column.
    pub(super) column_m3: f64,
    /// Bore at either end that the column does not fill.
    pub(super) gap_m3: [f64; 2],
    /// Liquid that clings there.
    pub(super) film_m3: [f64; 2],
    /// Layer of a line without a column, stretch by stretch from its `from` end.
    pub(super) cells_m3: Vec<f64>,
    /// Whether there is no column: air passes over a layer from end to end.
    pub(super) layered: bool,
    /// Whether the air runs faster than the layer; else both are one mixture.
    pub(super) slips: bool,
    pub(in crate::transport) product_m3: f64,
    /// Layer laws of the first and second half, counted from `from` to `to` and back.
    pub(super) laws: [[LayerLaw; 2]; 2],
}

/// What became of a line in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LineChange {
    /// It is as it was.
    None,
    /// Its column is gone: air passes from end to end.
    BrokenThrough,
    /// Its layer has closed the bore somewhere.
    Blocked,
}

impl AirLine {
    /// A line that holds nothing but air.
    pub(super) fn dry(line: &Line, rise_m: f64, liquid: &Liquid, slips: bool) -> Self {
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
            layered: true,
            slips,
            product_m3: 0.0,
            laws: [[law(0, 1.0), law(1, 1.0)], [law(0, -1.0), law(1, -1.0)]],
        }
    }

    /// The same line, full of what it has `held`.
    pub(super) fn filled(self, held: Amount) -> Self {
        let (column_m3, product_m3) = (held.liquid_m3, held.product_m3);
        Self { column_m3, product_m3, layered: false, ..self }
    }

    pub(in crate::transport) fn liquid_m3(&self) -> f64 {
        if self.layered {
            self.cells_m3.iter().sum()
        } else {
            self.column_m3 + self.film_m3[0] + self.film_m3[1]
        }
    }

    pub(in crate::transport) fn concentration(&self) -> f64 {
        let liquid = self.liquid_m3();
        if liquid > 0.0 { self.product_m3 / liquid } else { 0.0 }
    }

    /// Room that is left for liquid, m3.
    pub(in crate::transport) fn room_m3(&self) -> f64 {
        (self.volume_m3 - self.liquid_m3()).max(0.0)
    }

    /// Liquid in the column, and in films and layers.
    pub(super) fn column_and_layer_m3(&self) -> (f64, f64) {
        let column = if self.layered { 0.0 } else { self.column_m3 };
        (column, self.liquid_m3() - column)
    }

    /// Air that belongs to the node at `end`.
    pub(super) fn free_m3(&self, end: LineEnd) -> f64 {
        if self.layered {
            0.5 * (self.volume_m3 - self.liquid_m3()).max(0.0)
        } else {
            (self.gap_m3[end] - self.film_m3[end]).max(0.0)
        }
    }

    /// Mean holdup of a line without a column.
    pub(super) fn holdup(&self) -> f64 {
        (self.liquid_m3() / self.volume_m3).clamp(0.0, 1.0)
    }

    /// Whether air is at `end`.
    pub(super) fn has_air_at(&self, end: LineEnd) -> bool {
        self.layered || self.gap_m3[end] > 0.0
    }

    /// Whether it is full from end to end.
    pub(super) fn is_full(&self) -> bool {
        !self.layered && self.gap_m3 == [0.0; 2]
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
    pub(super) fn slope_at_gap(&self, end: LineEnd) -> f64 {
        let from = self.gap_m3[0] / self.volume_m3;
        let at = if end == 0 { from } else { 1.0 - self.gap_m3[1] / self.volume_m3 };
        let slope = slope_sin(self.rise_m, self.sag_m, self.length_m, usize::from(at >= 0.5));
        if end == 0 { slope } else { -slope }
    }

    /// Takes up to `volume_m3` out of the column at its end; returns what it took.
    pub(super) fn take_from_column(&mut self, volume_m3: f64) -> f64 {
        let taken = volume_m3.min(self.column_m3);
        self.product_m3 -= taken * self.concentration();
        self.column_m3 -= taken;
        taken
    }

    /// Moves the column by `moved_m3` away from `inlet`, of which `taken_m3` has left already if it is at
    /// the other end; `inflow_m3` of liquid has come in at `inlet`, where air stands if `inlet_air`. The front of
    /// air leaves the share `left_behind` of the bore.
    pub(super) fn move_column(
        &mut self,
        inlet: LineEnd,
        (moved_m3, taken_m3, inflow_m3): (f64, f64, f64),
        inlet_air: bool,
        left_behind: f64,
    ) {
        let outlet = 1 - inlet;
        let attached = self.gap_m3[outlet] <= 0.0;
        // A column at its outlet moves by what has left it, to the last digit; one between two gaps by what the flow says.
        let displaced = if attached { taken_m3 } else { moved_m3 };
        if inlet_air {
            let pushed = if self.gap_m3[inlet] > 0.0 {
                self.film_m3[inlet] += inflow_m3;
                displaced
            } else {
                self.column_m3 += inflow_m3;
                (displaced - inflow_m3).max(0.0)
            };
            // Of the bore that the front passes, the share `left_behind` stays: per volume pushed on, that over the rest.
            let left = (left_behind / (1.0 - left_behind) * pushed).min(self.column_m3);
            self.film_m3[inlet] += left;
            self.column_m3 -= left;
        } else {
            self.column_m3 += inflow_m3;
        }
        if !attached {
            // The front ahead runs faster than the liquid: it picks up what clings there.
            let share = (self.film_m3[outlet] / self.gap_m3[outlet]).min(0.99);
            let advance = (displaced / (1.0 - share)).min(self.gap_m3[outlet]);
            let picked = share * advance;
            self.film_m3[outlet] -= picked;
            self.column_m3 += picked;
            self.gap_m3[outlet] -= advance;
        }
        // One gap is what is left of the line, so that volumes add up exactly.
        let (follows, stays) = if inlet_air { (inlet, outlet) } else { (outlet, inlet) };
        if inlet_air || !attached {
            self.gap_m3[follows] = (self.volume_m3 - self.column_m3 - self.gap_m3[stays]).max(0.0);
        }
    }

    /// Tidies up after a move: joins what touches, notes a column that is gone.
    pub(super) fn tidy(&mut self, inlet: LineEnd, inlet_air: bool) -> LineChange {
        let nothing = (NEXT_TO_NOTHING * self.volume_m3).min(NOTHING_M * self.area_m2);
        if self.layered {
            return self.plug();
        }
        if inlet_air && self.column_m3 <= nothing {
            self.spread();
            return LineChange::BrokenThrough;
        }
        for end in 0..2 {
            let gap = self.gap_m3[end];
            let closes = end != inlet && gap <= nothing;
            if gap > 0.0 && (closes || self.film_m3[end] >= BLOCKED * gap) {
                self.column_m3 += std::mem::take(&mut self.film_m3[end]);
                self.gap_m3[end] = 0.0;
                // A film thicker than its gap takes its room from the other one.
                let other = 1 - end;
                self.gap_m3[other] =
                    self.gap_m3[other].min((self.volume_m3 - self.column_m3).max(0.0));
            }
        }
        LineChange::None
    }

    /// Turns the column into part of the layer.
    pub(super) fn spread(&mut self) {
        let each = self.liquid_m3() / self.cells_m3.len() as f64;
        self.cells_m3.fill(each);
        (self.column_m3, self.film_m3, self.gap_m3) = (0.0, [0.0; 2], [0.0; 2]);
        self.layered = true;
    }

    /// Begins a column at `end`, where liquid stands now.
    pub(super) fn flood(&mut self, end: LineEnd) {
        let layer = self.liquid_m3();
        self.cells_m3.fill(0.0);
        self.layered = false;
        self.column_m3 = 0.0;
        self.gap_m3[end] = 0.0;
        self.film_m3[end] = 0.0;
        self.gap_m3[1 - end] = self.volume_m3;
        self.film_m3[1 - end] = layer;
    }

    /// Sine of the slope of either half, upward from `from` to `to`.
    pub(super) fn slopes(&self) -> [f64; 2] {
        [0, 1].map(|half| slope_sin(self.rise_m, self.sag_m, self.length_m, half))
    }
}

pub(super) fn slope_sin(rise_m: f64, sag_m: f64, length_m: f64, half: usize) -> f64 {
    let sag = if half == 0 { -sag_m } else { sag_m };
    ((rise_m + 2.0 * sag) / length_m).clamp(-1.0, 1.0)
}
