//! The law of a link: pressure drop as a rising function of flow.

/// A pressure drop and its derivative by flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loss {
    /// Loss of total pressure in the direction of positive flow, Pa.
    pub pa: f64,
    /// d(drop)/d(flow), Pa s/m3, >= 0.
    pub slope: f64,
}

/// Slope by which a part that passes one way only resists the other, Pa s/m3: a leak of 0.01 mL an
/// hour at 3 bar, too small to see, large enough to keep the pressure behind it determined.
pub(super) const REVERSE_SLOPE: f64 = 1e17;

/// Loss of a part that passes one way only, for a flow against its direction (`flow_m3_s` < 0), as a
/// leak of `reverse_slope` (Pa s/m3).
pub(super) fn leak(flow_m3_s: f64, reverse_slope: f64) -> Loss {
    Loss { pa: reverse_slope * flow_m3_s, slope: reverse_slope }
}

/// Loss of a part of `coefficient` c (Pa s2/m6) by `c q|q|`, with a straight core below 1 Pa that
/// keeps the slope at zero flow finite: `q (a + b q^2)` with value and slope of the parabola at its
/// edge.
pub fn quadratic(coefficient: f64, flow_m3_s: f64) -> Loss {
    let edge = (1.0 / coefficient).sqrt();
    let q = flow_m3_s;
    if q.abs() >= edge {
        Loss { pa: coefficient * q * q.abs(), slope: 2.0 * coefficient * q.abs() }
    } else {
        let (a, b) = (0.5 * coefficient * edge, 0.5 * coefficient / edge);
        Loss { pa: q * (a + b * q * q), slope: a + 3.0 * b * q * q }
    }
}

/// Coefficient (Pa s2/m6) of a flow coefficient `kv_si` (m3/s per sqrt(Pa) of water of 1000 kg/m3)
/// for a liquid of `density_kg_m3`: `dp = (density/1000) (q/kv)^2` (IEC 60534-2-1).
pub fn coefficient_of_kv(kv_si: f64, density_kg_m3: f64) -> f64 {
    density_kg_m3 / KV_DENSITY_KG_M3 / (kv_si * kv_si)
}

/// Density of the water that flow coefficients are stated for, kg/m3.
pub(super) const KV_DENSITY_KG_M3: f64 = 1000.0;

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn quadratic_joins_its_core_smoothly_and_is_odd() {
        let c = 3e9;
        let edge = (1.0f64 / c).sqrt();
        let (inside, outside) =
            (quadratic(c, edge * 0.999_999_9), quadratic(c, edge * 1.000_000_1));
        assert_relative_eq!(inside.pa, outside.pa, max_relative = 1e-6);
        assert_relative_eq!(inside.slope, outside.slope, max_relative = 1e-6);
        assert_eq!(quadratic(c, -2e-4).pa, -quadratic(c, 2e-4).pa);
        assert!(quadratic(c, 0.0).slope > 0.0);
    }
}
