//! What holds liquid in a low spot, and how fast must air run to sweep it out?
//!
//! Critical velocities are superficial velocities of the air, m/s, uncertain by 30 %. Each falls as the root
//! of the air's density. `slope_sin` is the sine of the angle of the leg that rises from the low spot.

use crate::fluids::GRAVITY_M_S2;
use std::f64::consts::PI;

/// Kutateladze number at which air carries liquid up a wide vertical line; 3.1 to 3.2, after R. G. Turner and
/// others, *J. Pet. Technol.* 21, 1475 (1969), from memory.
pub const KUTATELADZE: f64 = 3.2;
/// Uncertainty of critical velocities, as a share of them.
const UNCERTAIN: f64 = 0.3;
/// Slopes, degrees, between which the factor of the slope rule changes, and the factors.
const SLOPE_RULE: ((f64, f64), (f64, f64)) = ((0.5, 2.0), (0.35, 0.56));

/// Velocity of air at Wallis's dimensionless velocity `j_star`: film on the wall of a vertical line is wholly
/// turned upward near 0.8 to 1.0. G. B. Wallis, *One-dimensional Two-phase Flow* (1969), from memory.
pub fn wallis_gas_flux(j_star: f64, bore_m: f64, liquid_kg_m3: f64, gas_kg_m3: f64) -> f64 {
    j_star * ((liquid_kg_m3 - gas_kg_m3) * GRAVITY_M_S2 * bore_m / gas_kg_m3).sqrt()
}

/// Velocity of air at the Kutateladze number `k` (see [`KUTATELADZE`]), for wide vertical lines and droplets.
pub fn kutateladze_gas_flux(
    k: f64,
    surface_tension_n_m: f64,
    liquid_kg_m3: f64,
    gas_kg_m3: f64,
) -> f64 {
    let excess_kg_m3 = liquid_kg_m3 - gas_kg_m3;
    let square = surface_tension_n_m * GRAVITY_M_S2 * excess_kg_m3 / (gas_kg_m3 * gas_kg_m3);
    k * square.powf(0.25)
}

/// Velocity of air that carries liquid up a slope, by the rule used against corrosion in gas lines:
/// `sin = F rho_G j^2 / ((rho_L - rho_G) g D)`. 0 where the leg does not rise.
///
/// *Corrosion Engineering: Principles and Practice*, ch. 12; `F` is 0.35 below 0.5 degrees, 0.56 above 2 (from
/// memory), linear between. Stated for bores of 0.1 to 1.2 m and up to 8 m/s: in booms an extrapolation.
pub fn slope_rule_gas_flux(bore_m: f64, slope_sin: f64, liquid_kg_m3: f64, gas_kg_m3: f64) -> f64 {
    let sin = slope_sin.clamp(0.0, 1.0);
    let ((gentle, steep), (lowest, highest)) = SLOPE_RULE;
    let share = ((sin.asin().to_degrees() - gentle) / (steep - gentle)).clamp(0.0, 1.0);
    let factor = lowest + (highest - lowest) * share;
    let excess_kg_m3 = liquid_kg_m3 - gas_kg_m3;
    (sin * excess_kg_m3 * GRAVITY_M_S2 * bore_m / (factor * gas_kg_m3)).sqrt()
}

/// Velocity of air that sweeps a low spot: the lower of the slope rule and Wallis's velocity 1, which takes
/// over beyond about 34 degrees. 0 where the leg does not rise.
pub fn critical_gas_flux(bore_m: f64, slope_sin: f64, liquid_kg_m3: f64, gas_kg_m3: f64) -> f64 {
    let by_slope = slope_rule_gas_flux(bore_m, slope_sin, liquid_kg_m3, gas_kg_m3);
    by_slope.min(wallis_gas_flux(1.0, bore_m, liquid_kg_m3, gas_kg_m3))
}

/// Share of a layer, 0 to 1, that air of `gas_m_s` (>= 0) carries up a slope whose critical velocity is `critical_m_s`
/// (0 where it does not rise): none up to 0.7 of it, all from 1.3 of it on, in proportion between. The rest runs back.
///
/// That velocity is good to 30 %: nothing can be said for certain within that, and a figure so uncertain must not act as a
/// switch.
pub fn carried_share(gas_m_s: f64, critical_m_s: f64) -> f64 {
    if critical_m_s <= 0.0 {
        return 1.0;
    }
    ((gas_m_s / critical_m_s - 1.0 + UNCERTAIN) / (2.0 * UNCERTAIN)).clamp(0.0, 1.0)
}

/// Holdup above which an even laminar film runs down a slope against air whose pressure gradient is
/// `gas_pa_m` (>= 0): `6 tau / (rho g D sin)` with `tau = G D / 4`, by lubrication theory. Infinite where the
/// leg does not rise; above 1 the whole line is carried.
pub fn carry_limit(gas_pa_m: f64, slope_sin: f64, liquid_kg_m3: f64) -> f64 {
    if slope_sin <= 0.0 {
        return f64::INFINITY;
    }
    1.5 * gas_pa_m / (liquid_kg_m3 * GRAVITY_M_S2 * slope_sin)
}

/// Volume in one leg of a low spot, m3, whose level surface just touches the crown of the line there: from it
/// on, liquid closes the line. `pi D^3 / (8 tan)`; infinite where the leg does not rise.
pub fn seal_volume(bore_m: f64, slope_sin: f64) -> f64 {
    if slope_sin <= 0.0 {
        return f64::INFINITY;
    }
    let sin = slope_sin.min(1.0);
    PI * bore_m.powi(3) * (1.0 - sin * sin).sqrt() / (8.0 * sin)
}
