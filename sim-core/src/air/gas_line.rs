//! Steady flow of air through an empty line.

use super::PRESSURE_OVER_DENSITY_J_KG;

/// Mass flow over cross-section, kg/(m2 s), of air through a line from `upstream_pa` to `downstream_pa`
/// (absolute, `upstream_pa >= downstream_pa > 0`) at constant temperature.
///
/// `resistance` (> 0) is Darcy's factor times length over bore, plus the loss coefficients:
/// `G^2 = (p1^2 - p2^2) / (R T (resistance + 2 ln(p1 / p2)))`. At constant temperature flow chokes at the
/// outlet at the Mach number `1 / sqrt(k)`; a lower downstream pressure changes nothing. The textbook law of
/// long gas lines; friction factor constant along the line.
pub fn mass_flux(upstream_pa: f64, downstream_pa: f64, resistance: f64) -> f64 {
    let outlet_pa = downstream_pa.max(choking_ratio(resistance) * upstream_pa);
    let ratio = outlet_pa / upstream_pa;
    let squared =
        (1.0 - ratio * ratio) / (PRESSURE_OVER_DENSITY_J_KG * (resistance - 2.0 * ratio.ln()));
    upstream_pa * squared.max(0.0).sqrt()
}

/// Pressure ratio at which flow through `resistance` is largest: the root of
/// `r^2 (resistance + 1 - 2 ln r) = 1`, whose left side rises with `r` from 0 to 1.
fn choking_ratio(resistance: f64) -> f64 {
    let (mut low, mut high) = (0.0f64, 1.0f64);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if middle * middle * (resistance + 1.0 - 2.0 * middle.ln()) < 1.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
