//! How hard does its own weight drive a layer along the floor of a sloping line?

use super::stratified::{Level, level};
use std::sync::OnceLock;

/// Entries of the table, even in the root of holdup.
const ENTRIES: usize = 256;

/// How the weight of a flat layer drives it, compared with a pressure gradient that drives liquid alone in the whole bore.
///
/// A layer under a flat surface flows as in a line of its hydraulic bore `d` (over the line's bore: four times its
/// cross-section over its wetted wall, as Y. Taitel & A. E. Dukler, *AIChE J.* 22, 47 (1976), take it) under
/// `rho g sin`. In laminar flow the liquid alone in the whole bore flows as fast under `H d^2` of that. In turbulent flow by
/// H. Blasius (1913) it flows slower under the same gradient than liquid alone would, by the factor `(H/d)^(3/7)`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FlatLayer {
    /// Share of `rho g sin` that counts where it is laminar, 0 to 1.
    pub weight: f64,
    /// Factor of the turbulent flow under that gradient, 0 to 1.
    pub turbulent: f64,
    /// Derivative of the share by holdup.
    pub(super) weight_slope: f64,
    /// Derivative of the factor by holdup.
    pub(super) turbulent_slope: f64,
}

impl FlatLayer {
    /// At `holdup`, 0 to 1.
    pub fn at(holdup: f64) -> Self {
        let at = Level::at(level(holdup));
        if at.liquid_wall <= 0.0 {
            return Self::default();
        }
        let bore = 4.0 * at.liquid_area / at.liquid_wall;
        let turbulent = (holdup / bore).powf(3.0 / 7.0);
        Self { weight: holdup * bore * bore, turbulent, ..Self::default() }
    }

    /// The same out of a table, with the derivatives: within 1 % from a holdup of 0.001 on.
    pub(super) fn tabulated(holdup: f64) -> Self {
        let root = holdup.clamp(0.0, 1.0).sqrt();
        let place = root * (ENTRIES - 1) as f64;
        let k = (place as usize).min(ENTRIES - 2);
        let (table, share) = (table(), place - k as f64);
        let ((a, c), (b, d)) = (table[k], table[k + 1]);
        // d(root)/d(holdup) is 1/(2 root): bounded by that of the first entry.
        let by_holdup = 0.5 * (ENTRIES - 1) as f64 / root.max(1.0 / ENTRIES as f64);
        Self {
            weight: a + (b - a) * share,
            turbulent: c + (d - c) * share,
            weight_slope: (b - a) * by_holdup,
            turbulent_slope: (d - c) * by_holdup,
        }
    }
}

/// Share and factor at every root of holdup, worked out once.
fn table() -> &'static [(f64, f64); ENTRIES] {
    static TABLE: OnceLock<[(f64, f64); ENTRIES]> = OnceLock::new();
    TABLE.get_or_init(|| {
        std::array::from_fn(|k| {
            let root = k as f64 / (ENTRIES - 1) as f64;
            let FlatLayer { weight, turbulent, .. } = FlatLayer::at(root * root);
            (weight, turbulent)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_table_is_near_the_geometry() {
        for holdup in [1e-3, 0.01, 0.05, 0.2, 0.5, 0.9, 1.0] {
            let (table, exact) = (FlatLayer::tabulated(holdup), FlatLayer::at(holdup));
            assert_relative_eq!(table.weight, exact.weight, max_relative = 0.01);
            assert_relative_eq!(table.turbulent, exact.turbulent, max_relative = 0.01);
        }
        assert_eq!(FlatLayer::tabulated(0.0).weight, 0.0);
        assert_relative_eq!(FlatLayer::at(1.0).weight, 1.0, max_relative = 1e-5);
    }
}
