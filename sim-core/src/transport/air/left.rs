//! What lines hold, by what it is.

use super::super::content::Content;
use super::super::state::Contents;
use super::super::tanks::Amount;

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
    pub(crate) fn left(&self) -> Vec<LineLeft> {
        let mut left: Vec<LineLeft> = self.held.iter().map(line_left).collect();
        for (i, mouth) in self.mouth.iter().enumerate() {
            if mouth.is_some() {
                left[i].stub_m3 += std::mem::take(&mut left[i].column_m3);
            }
        }
        for (node, waiting) in self.air.waiting.iter().enumerate() {
            // What waits at a node is reported with a line there.
            let is_line = |i: &&usize| self.plumbing.branches[**i].part.line().is_some();
            let line = self.arms[node].iter().find(is_line).or(self.arms[node].first());
            if let Some(line) = line {
                left[*line].layer_m3 += waiting.liquid_m3;
                left[*line].product_m3 += waiting.product_m3;
            }
        }
        left
    }
}

/// What a branch holds, that of a dead leg taken for a column.
fn line_left(held: &Content) -> LineLeft {
    let Amount { liquid_m3, product_m3 } = held.amount();
    let (column_m3, layer_m3, pool_m3) = match held {
        Content::Air(line) => {
            let ((column, layer), pool) = (line.column_and_layer_m3(), line.pool_m3());
            (column, layer - pool, pool)
        }
        _ => (liquid_m3, 0.0, 0.0),
    };
    LineLeft { column_m3, layer_m3, pool_m3, stub_m3: 0.0, product_m3 }
}
