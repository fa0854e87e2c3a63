//! Steady flow of air through an empty line.

use super::{PRESSURE_OVER_DENSITY_J_KG, VISCOSITY_PA_S};
use crate::fluids::AbsolutePressure;

/// Reynolds number up to which air flows laminar in a smooth line.
const SMOOTH_LAMINAR_BELOW: f64 = 2300.0;

/// Pressure gradient, Pa/m and >= 0, of air alone at `velocity_m_s` (either way) and `air_kg_m3` (> 0) in a smooth
/// dry line of `bore_m` (> 0).
///
/// `f rho v^2 / (2 D)` with `f = 64/Re` below a Reynolds number of 2300 (Hagen-Poiseuille) and
/// `f = 0.3164 Re^-0.25` above (H. Blasius, 1913; smooth walls up to about 1e5). Where one gives way to the other,
/// `f` jumps from 0.028 to 0.046: there is no transition.
pub fn smooth_line_gradient(velocity_m_s: f64, air_kg_m3: f64, bore_m: f64) -> f64 {
    let velocity = velocity_m_s.abs();
    let reynolds = air_kg_m3 * velocity * bore_m / VISCOSITY_PA_S;
    if reynolds <= 0.0 {
        return 0.0;
    }
    let factor = if reynolds < SMOOTH_LAMINAR_BELOW {
        64.0 / reynolds
    } else {
        0.3164 * reynolds.powf(-0.25)
    };
    factor * air_kg_m3 * velocity * velocity / (2.0 * bore_m)
}

/// Mass flow over cross-section, kg/(m2 s), of air through a line from `upstream` to `downstream`
/// (`upstream >= downstream > 0`) at constant temperature.
///
/// `resistance` (> 0) is Darcy's factor times length over bore, plus the loss coefficients:
/// `G^2 = (p1^2 - p2^2) / (R T (resistance + 2 ln(p1 / p2)))`. At constant temperature flow chokes at the
/// outlet at the Mach number `1 / sqrt(k)`; a lower downstream pressure changes nothing. The textbook law of
/// long gas lines; friction factor constant along the line.
pub fn mass_flux(upstream: AbsolutePressure, downstream: AbsolutePressure, resistance: f64) -> f64 {
    let outlet_pa = downstream.pa.max(choking_ratio(resistance) * upstream.pa);
    let ratio = outlet_pa / upstream.pa;
    let squared =
        (1.0 - ratio * ratio) / (PRESSURE_OVER_DENSITY_J_KG * (resistance - 2.0 * ratio.ln()));
    upstream.pa * squared.max(0.0).sqrt()
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

#[cfg(test)]
mod tests {
    use super::{VISCOSITY_PA_S, smooth_line_gradient};
    use crate::hydraulics::Friction;
    use approx::assert_relative_eq;

    #[test]
    fn a_smooth_line_follows_hagen_poiseuille_then_colebrook_within_three_percent() {
        let (bore, air) = (0.02, 1.2);
        let velocity = |reynolds: f64| reynolds * VISCOSITY_PA_S / (air * bore);
        let slow = velocity(1000.0);
        let poiseuille = 32.0 * VISCOSITY_PA_S * slow / (bore * bore);
        assert_relative_eq!(
            smooth_line_gradient(-slow, air, bore),
            poiseuille,
            max_relative = 1e-12
        );
        for reynolds in [4e3, 1e4, 3e4, 1e5] {
            let fast = velocity(reynolds);
            let factor = Friction::new(0.0).factor(reynolds).f;
            let colebrook = factor * air * fast * fast / (2.0 * bore);
            assert_relative_eq!(
                smooth_line_gradient(fast, air, bore),
                colebrook,
                max_relative = 0.03
            );
        }
        assert_eq!(smooth_line_gradient(0.0, air, bore), 0.0);
    }
}
