//! Where liquid and air are in a line.

use super::super::content::Content;
use super::super::state::Contents;
use super::AirLine;
use crate::plumbing::{BranchId, NodeId};

/// Where liquid and air are in a line. Places are shares of its length, from its `from` end on; volumes are shares of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePhases {
    /// Where the column of liquid begins and ends; `None` where air passes from end to end.
    pub column: Option<[f32; 2]>,
    /// Share of the bore that is liquid on the wall: ahead of the column and behind it; of a line without a column in its
    /// first and its second half.
    pub film: [f32; 2],
    /// Where liquid has gathered in a low spot, and the volume of that; `None` where it has nowhere.
    pub pool: Option<[f32; 2]>,
}

impl LinePhases {
    /// Full of liquid from end to end.
    pub const FULL: Self = Self { column: Some([0.0, 1.0]), film: [0.0; 2], pool: None };

    /// Share of the line's volume that is liquid, 0 to 1.
    pub fn liquid_share(&self) -> f64 {
        let [from, to] = self.column.unwrap_or([0.5, 0.5]).map(f64::from);
        let [ahead, behind] = self.film.map(f64::from);
        let pool = self.pool.map_or(0.0, |[_, share]| f64::from(share));
        (to - from + ahead * from + behind * (1.0 - to) + pool).clamp(0.0, 1.0)
    }
}

impl LinePhases {
    /// Share of the bore that is liquid at `share` of the length, 0 to 1; what has gathered in a low spot apart.
    pub fn liquid_at(&self, share: f64) -> f64 {
        let second = match self.column.map(|column| column.map(f64::from)) {
            Some([from, to]) if (from..=to).contains(&share) => return 1.0,
            Some([from, _]) => share > from,
            None => share >= 0.5,
        };
        f64::from(self.film[usize::from(second)])
    }
}

impl Contents<'_> {
    /// Where liquid and air are in `branch`; full where it is no line.
    pub(crate) fn phases(&self, branch: BranchId) -> LinePhases {
        let i = branch.index();
        match &self.held[i] {
            Content::Air(line) => line.phases(),
            Content::Leg(leg) => {
                let whole = self.plumbing.branches[i].part.line().map_or(1.0, |l| l.volume_m3());
                let share = (leg.volume_m3() / whole).min(1.0) as f32;
                let from_mouth = self.mouth[i] == Some(self.plumbing.branches[i].from.index());
                let column = if from_mouth { [0.0, share] } else { [1.0 - share, 1.0] };
                LinePhases { column: Some(column), ..LinePhases::FULL }
            }
            Content::Tubes(_) | Content::Nothing => LinePhases::FULL,
        }
    }
}

impl Contents<'_> {
    /// Share of liquid, by volume, in what passes `node`: 1 where it holds no air.
    pub(crate) fn liquid_share_at(&self, node: NodeId) -> f64 {
        if self.air.at[node.index()] { self.air.liquid_share[node.index()] } else { 1.0 }
    }
}

impl AirLine {
    fn phases(&self) -> LinePhases {
        if !self.layered {
            let [ahead, behind] = self.gap_m3.map(|gap| (gap / self.volume_m3).clamp(0.0, 1.0));
            let film = |end: usize| match self.gap_m3[end] {
                0.0 => 0.0,
                gap => (self.film_m3[end] / gap) as f32,
            };
            let column = Some([ahead as f32, (1.0 - behind).max(ahead) as f32]);
            return LinePhases { column, film: [film(0), film(1)], pool: None };
        }
        let count = self.cells_m3.len();
        let pool_at = self.pool_stretch();
        let mut halves = [0.0; 2];
        for (k, cell) in self.cells_m3.iter().enumerate().filter(|(k, _)| Some(*k) != pool_at) {
            // A stretch in the middle belongs to both.
            let first = ((0.5 * count as f64 - k as f64).clamp(0.0, 1.0)).min(1.0);
            halves[0] += first * cell;
            halves[1] += (1.0 - first) * cell;
        }
        let film = halves.map(|m3| (2.0 * m3 / self.volume_m3) as f32);
        let pool = pool_at
            .map(|k| [(k as f32 + 0.5) / count as f32, (self.cells_m3[k] / self.volume_m3) as f32]);
        LinePhases { column: None, film, pool }
    }
}
