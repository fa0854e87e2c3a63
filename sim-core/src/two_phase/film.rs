//! How much liquid does air leave on the wall of a narrow line?

use super::nose::{Nose, eotvos, nose};
use crate::fluids::Liquid;

/// Reynolds number above which the film no longer depends on speed.
const SPEED_COUNTS_UP_TO: f64 = 2000.0;
/// Bond number `rho g R^2 / sigma` below which surface tension shapes the nose.
const NARROW_BOND: f64 = 5.0;
/// Bore below which a line counts as narrow whatever the liquid, m.
const NARROW_BORE_M: f64 = 3e-3;

/// Film thickness over radius left in a tube at capillary number `mu U / sigma` (>= 0), with `U` the
/// velocity of the nose; from 0 to 0.4.
///
/// P. Aussillous & D. Quere, *Phys. Fluids* 12, 2367 (2000): a fit to G. I. Taylor's data (1961) that
/// takes F. P. Bretherton's limit (1961) at low speed. Without inertia.
pub fn aussillous_quere(capillary_number: f64) -> f64 {
    let x = capillary_number.max(0.0).powf(2.0 / 3.0);
    1.34 * x / (1.0 + 3.35 * x)
}

/// Film thickness over bore behind a nose of `velocity_m_s` (>= 0) in a tube of `bore_m` (> 0), where
/// inertia counts too.
///
/// Y. Han & N. Shikazono, *Int. J. Heat Fluid Flow* 30, 842 (2009); above a Reynolds number of 2000 the
/// thickness at 2000. Measured in bores of 0.3 to 1.3 mm; within 15 % there (from memory), beyond it an
/// extrapolation. Without inertia it is the law of [`aussillous_quere`] but for a few percent.
pub fn han_shikazono(velocity_m_s: f64, bore_m: f64, liquid: &Liquid) -> f64 {
    let (density, viscosity) = (liquid.density_kg_m3, liquid.viscosity_pa_s);
    let reynolds = (density * velocity_m_s.max(0.0) * bore_m / viscosity).min(SPEED_COUNTS_UP_TO);
    let capillary =
        reynolds * viscosity * viscosity / (density * liquid.surface_tension_n_m * bore_m);
    let weber = capillary * reynolds;
    let x = capillary.powf(2.0 / 3.0);
    let inertia = 0.504 * capillary.powf(0.672) * reynolds.powf(0.589) - 0.352 * weber.powf(0.629);
    0.670 * x / (1.0 + 3.13 * x + inertia)
}

/// Share of the cross-section taken by a film `thickness_over_radius` (0 to 1) thick all round.
pub fn film_share(thickness_over_radius: f64) -> f64 {
    thickness_over_radius * (2.0 - thickness_over_radius)
}

/// The nose of air in a tube of `bore_m` (> 0) pushed at `flux_m_s`, by the film law of [`han_shikazono`]
/// alone.
///
/// The film depends on the velocity of the nose, and that on the film: `U = j / (1 - m(U))`, found by
/// repetition, which cuts the error by five or more each time. At or below zero flux nothing remains.
pub fn film_left_behind(flux_m_s: f64, bore_m: f64, liquid: &Liquid) -> Nose {
    let mut front = Nose::sharp(flux_m_s);
    if flux_m_s <= 0.0 {
        return front;
    }
    for _ in 0..30 {
        let film = han_shikazono(front.velocity_m_s, bore_m, liquid);
        let left_behind = film_share(2.0 * film);
        let settled = (left_behind - front.left_behind).abs() < 1e-12;
        front = Nose { velocity_m_s: flux_m_s / (1.0 - left_behind), left_behind };
        if settled {
            break;
        }
    }
    front
}

/// The nose of air in a line of `bore_m` (> 0) whose liquid is pushed at `flux_m_s`, by the law that leaves
/// more: [`nose`] in any line, and in narrow ones also [`film_left_behind`].
///
/// Narrow is a bore below 3 mm, or a Bond number `rho g R^2 / sigma` below 5 (for water a bore of 12 mm).
/// `slope_sin` is the sine of the angle upward in the direction in which the nose advances. The larger of
/// two laws errs towards liquid remaining.
pub fn left_behind(flux_m_s: f64, bore_m: f64, slope_sin: f64, liquid: &Liquid) -> Nose {
    let wide = nose(flux_m_s, bore_m, slope_sin, liquid);
    let bond = 0.25 * eotvos(bore_m, liquid);
    if bond >= NARROW_BOND && bore_m >= NARROW_BORE_M {
        return wide;
    }
    let narrow = film_left_behind(flux_m_s, bore_m, liquid);
    if narrow.left_behind > wide.left_behind { narrow } else { wide }
}
