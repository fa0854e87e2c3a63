//! Darcy friction factor of a round line.
//!
//! Laminar flow (Re <= 2000): `f = 64/Re` (Hagen-Poiseuille). Turbulent flow (Re >= 4000): Colebrook
//! (1939), solved to machine precision from Haaland's (1983) explicit start. Between them a cubic in
//! Re that takes value and slope of both neighbours: a numerical bridge, not physics, since flow
//! there switches between both states; results that lean on it are flagged.

use std::f64::consts::LN_10;

pub use crate::fluids::LAMINAR_UP_TO;

/// Smallest Reynolds number taken as fully turbulent.
pub const TURBULENT_FROM: f64 = 4000.0;

/// The friction law of one line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// Roughness over 3.7 bores, as it is in Colebrook's formula.
    roughness_term: f64,
    /// The same to the power 1.11, as it is in Haaland's.
    haaland_term: f64,
    /// Colebrook's factor and its slope in Re at the upper end of the bridge.
    bridge_end: (f64, f64),
}

/// A friction factor and its derivative by the Reynolds number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// Darcy friction factor.
    pub f: f64,
    /// df/dRe.
    pub slope: f64,
}

impl Friction {
    /// The law for a wall of relative roughness `roughness / bore`, 0 to 0.05.
    pub fn new(relative_roughness: f64) -> Self {
        let roughness_term = relative_roughness / 3.7;
        let haaland_term = roughness_term.powf(1.11);
        let mut law = Self { roughness_term, haaland_term, bridge_end: (0.0, 0.0) };
        let end = law.colebrook(TURBULENT_FROM);
        law.bridge_end = (end.f, end.slope);
        law
    }

    /// Friction factor at `reynolds` > 0.
    pub fn factor(&self, reynolds: f64) -> Factor {
        if reynolds <= LAMINAR_UP_TO {
            Factor { f: 64.0 / reynolds, slope: -64.0 / (reynolds * reynolds) }
        } else if reynolds >= TURBULENT_FROM {
            self.colebrook(reynolds)
        } else {
            self.bridge(reynolds)
        }
    }

    /// Share of turbulent flow, 0 to 1: how far the factor at `reynolds` > 0 has gone from `64/Re` to Colebrook's. Between
    /// both limits flow is laminar and turbulent by turns, and this is taken for the share of time.
    pub fn turbulent_share(&self, reynolds: f64) -> f64 {
        if reynolds <= LAMINAR_UP_TO {
            return 0.0;
        }
        if reynolds >= TURBULENT_FROM {
            return 1.0;
        }
        let laminar = 64.0 / reynolds;
        let share = (self.bridge(reynolds).f - laminar) / (self.colebrook(reynolds).f - laminar);
        share.clamp(0.0, 1.0)
    }

    /// Colebrook's factor. With `x = 1/sqrt(f)` the formula is the root of
    /// `g(x) = x + 2 log10(a + b x)`, rising and concave. Halley's steps cube the error: once one is
    /// below 1e-5 it leaves only rounding error, which takes two from Haaland's start.
    fn colebrook(&self, reynolds: f64) -> Factor {
        let a = self.roughness_term;
        let b = 2.51 / reynolds;
        let mut x = -1.8 / LN_10 * (self.haaland_term + 6.9 / reynolds).ln();
        for _ in 0..3 {
            let inside = a + b * x;
            let c = 2.0 / LN_10 * b / inside;
            let g = x + 2.0 / LN_10 * inside.ln();
            let slope = 1.0 + c;
            let curvature = -c * b / inside;
            let step = 2.0 * g * slope / (2.0 * slope * slope - g * curvature);
            x -= step;
            if step.abs() < 1e-5 * x {
                break;
            }
        }
        let c = 2.0 * b / (LN_10 * (a + b * x));
        let dx = c * x / reynolds / (1.0 + c);
        Factor { f: 1.0 / (x * x), slope: -2.0 * dx / (x * x * x) }
    }

    /// Cubic Hermite bridge between laminar and turbulent.
    fn bridge(&self, reynolds: f64) -> Factor {
        let width = TURBULENT_FROM - LAMINAR_UP_TO;
        let t = (reynolds - LAMINAR_UP_TO) / width;
        let (f0, m0) = (64.0 / LAMINAR_UP_TO, -64.0 / (LAMINAR_UP_TO * LAMINAR_UP_TO) * width);
        let (f1, m1) = (self.bridge_end.0, self.bridge_end.1 * width);
        let rise = f1 - f0;
        let cubic = m0 + m1 - 2.0 * rise;
        let square = 3.0 * rise - 2.0 * m0 - m1;
        let f = f0 + t * (m0 + t * (square + t * cubic));
        let slope = (m0 + t * (2.0 * square + t * 3.0 * cubic)) / width;
        Factor { f, slope }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn factor_and_slope_are_continuous_at_both_ends_of_the_bridge() {
        for roughness in [0.0, 1e-4, 1e-3, 0.01, 0.05] {
            let law = Friction::new(roughness);
            for edge in [LAMINAR_UP_TO, TURBULENT_FROM] {
                let (below, above) = (law.factor(edge - 1e-6), law.factor(edge + 1e-6));
                assert_relative_eq!(below.f, above.f, max_relative = 1e-8);
                assert_relative_eq!(below.slope, above.slope, max_relative = 1e-6);
            }
        }
    }

    proptest! {
        #[test]
        fn slope_matches_central_difference(log_re in 1.0f64..8.0, roughness in 0.0f64..0.05) {
            let (law, re) = (Friction::new(roughness), 10f64.powf(log_re));
            let step = re * 1e-5;
            let difference = (law.factor(re + step).f - law.factor(re - step).f) / (2.0 * step);
            let scale = law.factor(re).f / re;
            prop_assert!((law.factor(re).slope - difference).abs() < 1e-5 * scale);
        }

        #[test]
        fn colebrook_is_solved_to_machine_precision(log_re in 3.61f64..8.0, r in 0.0f64..0.05) {
            let re = 10f64.powf(log_re);
            let x = 1.0 / Friction::new(r).factor(re).f.sqrt();
            let right = -2.0 * (r / 3.7 + 2.51 * x / re).log10();
            prop_assert!((x - right).abs() < 4e-15 * x);
        }

        #[test]
        fn the_share_of_turbulent_flow_rises_through_the_bridge(re in 2000.0f64..3999.0, r in 0.0f64..0.05) {
            let law = Friction::new(r);
            let (share, next) = (law.turbulent_share(re), law.turbulent_share(re + 1.0));
            prop_assert!((0.0..=1.0).contains(&share) && next >= share, "{share} {next}");
        }

        #[test]
        fn loss_rises_with_flow_through_the_bridge(re in 1900.0f64..4100.0, r in 0.0f64..0.05) {
            let law = Friction::new(r);
            let loss = |re: f64| law.factor(re).f * re * re;
            prop_assert!(loss(re + 1.0) > loss(re));
        }
    }
}
