//! Liquid left in lines, by what it is.

use super::named::Named;
use crate::plumbing::BranchId;
use crate::transport::LineLeft;
use schemars::JsonSchema;
use serde::Serialize;

/// Liquid left in one or several lines.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Residual {
    /// All liquid left.
    pub liquid_m3: f64,
    /// Of it, in undrained stretches: still full, or full again of what ran back from the tank.
    pub undrained_m3: f64,
    /// Of it, as wall film behind the front of air.
    pub wall_film_m3: f64,
    /// Of it, in low spots.
    pub low_spot_m3: f64,
    /// Of it, in dead legs.
    pub dead_leg_m3: f64,
    /// Product in it, as volume at full strength.
    pub product_m3: f64,
}

/// Liquid left in a line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineResidual {
    /// Which line.
    pub line: Named<BranchId>,
    /// What it holds.
    #[serde(flatten)]
    pub residual: Residual,
}

impl Residual {
    /// Adds what another line holds.
    pub fn add(&mut self, other: &Self) {
        self.liquid_m3 += other.liquid_m3;
        self.undrained_m3 += other.undrained_m3;
        self.wall_film_m3 += other.wall_film_m3;
        self.low_spot_m3 += other.low_spot_m3;
        self.dead_leg_m3 += other.dead_leg_m3;
        self.product_m3 += other.product_m3;
    }

    /// What `lines` hold together.
    pub fn sum<'a>(lines: impl IntoIterator<Item = &'a LineResidual>) -> Self {
        let mut sum = Self::default();
        lines.into_iter().for_each(|line| sum.add(&line.residual));
        sum
    }
}

impl From<&LineLeft> for Residual {
    fn from(left: &LineLeft) -> Self {
        Self {
            liquid_m3: left.liquid_m3(),
            undrained_m3: left.column_m3,
            wall_film_m3: left.layer_m3,
            low_spot_m3: left.pool_m3,
            dead_leg_m3: left.stub_m3,
            product_m3: left.product_m3,
        }
    }
}
