//! Valves and orifices: flow coefficients from opening and hole.

use crate::fluids::Liquid;
use crate::plumbing::{Opening, Orifice, Valve};
use std::f64::consts::PI;

/// Flow coefficient of `valve` at `opening` (0 to 1), m3/s per sqrt(Pa) of water of 1000 kg/m3.
///
/// Linear: `kv * opening`; equal percentage: `kv * R^(opening - 1)`, closed at 0 (IEC 60534-2-4 terms).
pub(super) fn kv_at(valve: &Valve, opening: f64) -> f64 {
    if opening <= 0.0 {
        return 0.0;
    }
    match valve.characteristic {
        Opening::Linear => valve.kv_si * opening,
        Opening::EqualPercentage { rangeability } => valve.kv_si * rangeability.powf(opening - 1.0),
    }
}

/// d(ln kv)/d(opening) at `opening` > 0.
pub(super) fn log_slope(valve: &Valve, opening: f64) -> f64 {
    match valve.characteristic {
        Opening::Linear => 1.0 / opening,
        Opening::EqualPercentage { rangeability } => rangeability.ln(),
    }
}

/// Coefficient (Pa s2/m6) of a sharp hole: `q = Cd A sqrt(2 dp / rho)`.
pub(super) fn orifice_coefficient(orifice: &Orifice, liquid: &Liquid) -> f64 {
    let effective = orifice.discharge_coefficient * PI * orifice.bore_m * orifice.bore_m / 4.0;
    0.5 * liquid.density_kg_m3 / (effective * effective)
}
