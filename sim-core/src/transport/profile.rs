//! How a line spreads a front: stream tubes that share the flow and differ in how long they take.

use std::f64::consts::PI;

/// What spreads a front in a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Dispersion {
    /// Nothing: the front stays sharp.
    None,
    /// The parabolic profile of laminar flow, too short for sideways diffusion to even it out.
    Laminar,
    /// Turbulent dispersion with this Peclet number `U L / K`, > 0.
    Turbulent {
        /// Velocity times length over the coefficient of dispersion.
        peclet: f64,
    },
}

/// Stream tubes of a line: equal flows, volumes as shares of the line's, shortest stay first.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    volumes: Vec<f64>,
}

/// Tubes of a laminar line.
const LAMINAR_TUBES: usize = 64;
/// Tubes of a long turbulent line, and of a short one that is one among many.
const LONG_TUBES: usize = 48;
const SHORT_TUBES: usize = 12;
/// Peclet number from which a line counts as long.
const LONG_FROM_PECLET: f64 = 200.0;

impl Profile {
    /// The tubes that give `spread`.
    ///
    /// Laminar: `F(theta) = 1 - 1/(4 theta^2)` from half a residence time on (Danckwerts 1953; Levenspiel,
    /// *Chemical Reaction Engineering*). Turbulent: the arrival of a step after Ogata & Banks (1961), whose
    /// flow-weighted form is the inverse Gaussian distribution.
    pub fn of(spread: Dispersion) -> Self {
        let volumes = match spread {
            Dispersion::None => vec![1.0],
            Dispersion::Laminar => laminar(LAMINAR_TUBES),
            Dispersion::Turbulent { peclet } => {
                let long = peclet >= LONG_FROM_PECLET;
                turbulent(peclet, if long { LONG_TUBES } else { SHORT_TUBES })
            }
        };
        Self { volumes }
    }

    /// Volume of each tube as a share of the line's.
    pub fn volumes(&self) -> &[f64] {
        &self.volumes
    }
}

/// Mean stay of each of `count` equal shares of the flow: the integral of `1/(2 sqrt(1 - F))`.
fn laminar(count: usize) -> Vec<f64> {
    let rest = |m: usize| (1.0 - m as f64 / count as f64).sqrt();
    (0..count).map(|m| rest(m) - rest(m + 1)).collect()
}

fn turbulent(peclet: f64, count: usize) -> Vec<f64> {
    let middle = |m: usize| arrival_of_share((m as f64 + 0.5) / count as f64, peclet);
    let stays: Vec<f64> = (0..count).map(middle).collect();
    let whole: f64 = stays.iter().sum();
    stays.into_iter().map(|stay| stay / whole).collect()
}

/// Time, in mean stays, at which the share `share` of a step has arrived, found by halving.
fn arrival_of_share(share: f64, peclet: f64) -> f64 {
    let (mut low, mut high) = (1e-3, 2.0);
    while arrived(high, peclet) < share {
        high *= 2.0;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if arrived(middle, peclet) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Ogata & Banks (1961) at the outlet, `theta` in mean stays; the second term as `exp(-z^2) erfcx`, which
/// does not overflow.
fn arrived(theta: f64, peclet: f64) -> f64 {
    let width = 2.0 * (theta / peclet).sqrt();
    let (early, late) = ((1.0 - theta) / width, (1.0 + theta) / width);
    0.5 * (libm::erfc(early) + (-early * early).exp() * erfcx(late))
}

/// `exp(z^2) erfc(z)` for z > 0.
fn erfcx(z: f64) -> f64 {
    if z < 5.0 {
        return (z * z).exp() * libm::erfc(z);
    }
    let s = 1.0 / (2.0 * z * z);
    (1.0 - s * (1.0 - 3.0 * s * (1.0 - 5.0 * s))) / (z * PI.sqrt())
}

/// What spreads a front in a line of `bore_m` and `length_m` at velocity `velocity_m_s` with Reynolds
/// number `reynolds` and Darcy factor `friction`.
///
/// Turbulent: G. I. Taylor (1954), `K = 10.1 a u*`, `u* = U sqrt(f/8)`. Measured pipes have a K 1.4 times that from Re
/// 20 000 up and 9 times at 2500 (C. Y. Wen & L. T. Fan, *Models for Flow Systems and Chemical Reactors*, 1975), so this
/// is a lower bound for booms. Where a line is taken as free of friction nothing spreads.
pub fn dispersion_of(bore_m: f64, length_m: f64, reynolds: f64, friction: f64) -> Dispersion {
    if reynolds <= crate::fluids::LAMINAR_UP_TO {
        return Dispersion::Laminar;
    }
    if friction <= 0.0 {
        return Dispersion::None;
    }
    Dispersion::Turbulent { peclet: length_m / (5.05 * bore_m * (friction / 8.0).sqrt()) }
}
