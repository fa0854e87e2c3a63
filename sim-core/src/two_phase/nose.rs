//! How fast does air run into a line full of liquid, and how much does it leave behind?

use crate::fluids::{GRAVITY_M_S2, Liquid};

/// Largest share of the cross-section a nose leaves behind: what stays under a bubble that runs over liquid
/// at rest. T. B. Benjamin, *J. Fluid Mech.* 31, 209 (1968): the depth left is 0.563 bores (from memory).
pub const MOST_LEFT_BEHIND: f64 = 0.58;
/// Froude numbers between which both branches of the law are blended, over the level drift: 3 to 4 in wide lines.
const BLEND: (f64, f64) = (3.0 / WIDE_DRIFT, 4.0 / WIDE_DRIFT);
/// Drift of air into a level line so wide that surface tension does not count, over `sqrt(g D)`.
const WIDE_DRIFT: f64 = 0.54;

/// The front of air that pushes liquid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nose {
    /// Velocity of the front, m/s; at least the velocity of the liquid ahead of it.
    pub velocity_m_s: f64,
    /// Share of the cross-section left as liquid behind it, 0 to below 1.
    pub left_behind: f64,
}

impl Nose {
    /// A front that moves with the liquid and leaves nothing.
    pub(super) fn sharp(flux_m_s: f64) -> Self {
        Self { velocity_m_s: flux_m_s, left_behind: 0.0 }
    }
}

/// The nose of air in a line of `bore_m` (> 0) whose liquid is pushed at `flux_m_s`.
///
/// `slope_sin` is the sine of the angle upward in the direction in which the nose advances, -1 to 1. The
/// velocity is `C0 j + U_d` with the coefficients of K. H. Bendiksen, *Int. J. Multiphase Flow* 10, 467
/// (1984), from memory: below Froude number `j / sqrt(g D)` 3.5 `C0 = 1.05 + 0.15 sin^2` and
/// `U_d = (level cos + upright sin) sqrt(g D)`, above it 1.2 and `upright sin sqrt(g D)`; blended here over 3 to
/// 4, so that the velocity is continuous. His drifts, 0.54 and 0.35, are those of wide lines; surface tension
/// makes them [`level_drift`] and [`upright_drift`], and the Froude numbers fall with the former, so that both
/// branches still meet (an assumption). Where the drift would be negative (steep downward) it is
/// left out. The share remaining, `1 - j / U`, is capped at [`MOST_LEFT_BEHIND`]; the nose is then slower
/// accordingly.
///
/// Liquid that stands or runs back takes the nose with it: no air runs in against it. Holds for long
/// straight lines of liquid as thin as water.
pub fn nose(flux_m_s: f64, bore_m: f64, slope_sin: f64, liquid: &Liquid) -> Nose {
    if flux_m_s <= 0.0 {
        return Nose::sharp(flux_m_s);
    }
    let sin = slope_sin.clamp(-1.0, 1.0);
    let cos = (1.0 - sin * sin).sqrt();
    let wave_m_s = (GRAVITY_M_S2 * bore_m).sqrt();
    let eotvos = eotvos(bore_m, liquid);
    let (level, upright) = (level_drift(eotvos), upright_drift(eotvos) * sin);
    let froude_over_drift = flux_m_s / wave_m_s / level.max(1e-9);
    let fast = ((froude_over_drift - BLEND.0) / (BLEND.1 - BLEND.0)).clamp(0.0, 1.0);
    let slow_drift = (level * cos + upright).max(0.0);
    let fast_drift = upright.max(0.0);
    let spread = blend(1.05 + 0.15 * sin * sin, 1.2, fast);
    let drift_m_s = blend(slow_drift, fast_drift, fast) * wave_m_s;
    let free_m_s = spread * flux_m_s + drift_m_s;
    let velocity_m_s = free_m_s.min(flux_m_s / (1.0 - MOST_LEFT_BEHIND));
    Nose { velocity_m_s, left_behind: 1.0 - flux_m_s / velocity_m_s }
}

/// Eotvos number `rho g D^2 / sigma`: weight over surface tension.
pub(super) fn eotvos(bore_m: f64, liquid: &Liquid) -> f64 {
    liquid.density_kg_m3 * GRAVITY_M_S2 * bore_m * bore_m / liquid.surface_tension_n_m
}

/// Drift of air into a level line of liquid at rest, over `sqrt(g D)`, at the Eotvos number `eotvos` (> 0):
/// `0.54 - 1.76 Eo^-0.56`, 0 below 8.3 (water in 8 mm).
///
/// M. E. Weber, *Can. J. Chem. Eng.* 59, 398 (1981), a fit to E. E. Zukoski's measurements (*J. Fluid Mech.* 25, 821,
/// 1966); from memory.
pub fn level_drift(eotvos: f64) -> f64 {
    (WIDE_DRIFT - 1.76 * eotvos.powf(-0.56)).max(0.0)
}

/// Drift of air up an upright line of liquid at rest, over `sqrt(g D)`, at the Eotvos number `eotvos` (> 0):
/// `0.35 (1 - e^((3.37 - Eo)/10))`, 0 below 3.37 (water in 5 mm).
///
/// G. B. Wallis, *One-dimensional Two-phase Flow* (1969), for liquids as thin as water; from memory, with the 0.35
/// of Nicklin and others (1962) for his 0.345.
pub fn upright_drift(eotvos: f64) -> f64 {
    0.35 * (1.0 - (0.1 * (3.37 - eotvos)).exp()).max(0.0)
}

fn blend(from: f64, to: f64, share: f64) -> f64 {
    from + (to - from) * share
}
