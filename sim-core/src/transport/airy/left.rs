//! What lines hold, by what it is.

use super::super::state::Contents;

/// Liquid that a line holds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LineLeft {
    /// In a column: stranded, or a line air never reached, m3.
    pub column_m3: f64,
    /// On the wall behind the front of air, m3.
    pub layer_m3: f64,
    /// In a low spot, m3.
    pub pool_m3: f64,
    /// In a dead leg, m3.
    pub stub_m3: f64,
    /// Product in all of it, m3 of full strength.
    pub product_m3: f64,
}

impl LineLeft {
    /// Adds what another line holds.
    pub fn add(&mut self, other: &Self) {
        self.column_m3 += other.column_m3;
        self.layer_m3 += other.layer_m3;
        self.pool_m3 += other.pool_m3;
        self.stub_m3 += other.stub_m3;
        self.product_m3 += other.product_m3;
    }

    /// All of it, m3.
    pub fn liquid_m3(&self) -> f64 {
        self.column_m3 + self.layer_m3 + self.pool_m3 + self.stub_m3
    }
}

impl Contents<'_> {
    /// What each branch holds, in the plumbing's order.
    pub fn left(&self) -> Vec<LineLeft> {
        let mut left: Vec<LineLeft> =
            (0..self.plumbing.branches.len()).map(|i| self.line_left(i)).collect();
        let Some(airy) = &self.airy else { return left };
        for (node, waiting) in airy.waiting.iter().enumerate() {
            // What waits at a node is told with a line there.
            let is_line = |i: &&usize| self.plumbing.branches[**i].part.line().is_some();
            let line = self.arms[node].iter().find(is_line).or(self.arms[node].first());
            if let Some(line) = line {
                left[*line].layer_m3 += waiting.liquid_m3;
                left[*line].product_m3 += waiting.product_m3;
            }
        }
        left
    }

    fn line_left(&self, i: usize) -> LineLeft {
        let mut left = LineLeft::default();
        if let Some(line) = &self.lines[i] {
            (left.column_m3, left.product_m3) = (line.volume_m3(), line.product_m3());
        }
        if let Some((_, leg)) = &self.legs[i] {
            (left.stub_m3, left.product_m3) = (leg.volume_m3(), leg.product_m3());
        }
        if let Some(part) = self.airy.as_ref().and_then(|airy| airy.part[i].as_ref()) {
            let (column, layer) = part.column_and_layer_m3();
            let pool = part.pool_m3();
            (left.layer_m3, left.pool_m3) = (layer - pool, pool);
            left.product_m3 = part.product_m3;
            if self.cap_mouth[i].is_some() {
                left.stub_m3 = column;
            } else {
                left.column_m3 = column;
            }
        }
        left
    }
}
