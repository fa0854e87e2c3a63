//! Mass flow of air through a valve, hole or tip (ISO 6358-1).

use super::{HEAT_RATIO, PRESSURE_OVER_DENSITY_J_KG, REFERENCE_DENSITY_KG_M3};
use crate::fluids::AbsolutePressure;

/// Pressure ratio above which the law is straight: its own slope has no bound at 1.
const STRAIGHT_FROM: f64 = 0.999;

/// A part that restricts air, by its two figures of ISO 6358.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirRestriction {
    /// Sonic conductance C, m3/(s Pa) at reference conditions, >= 0. 1 dm3/(s bar) is 1e-8.
    pub sonic_conductance_m3_s_pa: f64,
    /// Critical pressure ratio b, 0 to 0.9: at or below it flow is choked.
    pub critical_ratio: f64,
}

/// Mass flow and its derivatives by the pressures at both ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MassFlow {
    /// Mass flow, kg/s; positive from upstream to downstream.
    pub kg_s: f64,
    /// Derivative by the upstream pressure, kg/(s Pa), >= 0.
    pub by_upstream: f64,
    /// Derivative by the downstream pressure, kg/(s Pa), <= 0.
    pub by_downstream: f64,
}

/// Pressure that drives a mass flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UpstreamPressure {
    /// The pressure.
    pub pressure: AbsolutePressure,
    /// Its derivative by the mass flow, Pa s/kg, > 0.
    pub slope_pa_s_kg: f64,
}

impl AirRestriction {
    /// An ideal nozzle of effective area `area_m2` (area times coefficient of discharge): its choked mass
    /// flow, and the ratio at which it chokes, 0.528. Below choking ISO 6358's ellipse is within 0.4 % of it.
    pub fn ideal(area_m2: f64) -> Self {
        let k = HEAT_RATIO;
        let choked = (k / PRESSURE_OVER_DENSITY_J_KG).sqrt()
            * (2.0 / (k + 1.0)).powf((k + 1.0) / (2.0 * (k - 1.0)));
        Self {
            sonic_conductance_m3_s_pa: area_m2 * choked / REFERENCE_DENSITY_KG_M3,
            critical_ratio: (2.0 / (k + 1.0)).powf(k / (k - 1.0)),
        }
    }

    /// Effective area of the ideal nozzle that chokes at the same mass flow, m2.
    pub fn ideal_area_m2(&self) -> f64 {
        self.sonic_conductance_m3_s_pa / Self::ideal(1.0).sonic_conductance_m3_s_pa
    }

    /// Mass flow between `upstream` and `downstream` (both > 0), in whichever direction the
    /// pressures drive it.
    ///
    /// Choked it is `C rho0 p1`; above the critical ratio `b` it falls by
    /// `sqrt(1 - ((r - b) / (1 - b))^2)`, and from r = 0.999 on a straight line to none at 1.
    pub fn flow(&self, upstream: AbsolutePressure, downstream: AbsolutePressure) -> MassFlow {
        if downstream > upstream {
            let back = self.flow(downstream, upstream);
            return MassFlow {
                kg_s: -back.kg_s,
                by_upstream: -back.by_downstream,
                by_downstream: -back.by_upstream,
            };
        }
        let choked = self.choked_per_pascal();
        let (share, slope) = self.share(downstream.pa / upstream.pa);
        let by_downstream = choked * slope;
        let kg_s = choked * upstream.pa * share;
        // The law is homogeneous of degree one in the pressures (Euler).
        let by_upstream = (kg_s - downstream.pa * by_downstream) / upstream.pa;
        MassFlow { kg_s, by_upstream, by_downstream }
    }

    /// Upstream pressure that drives `kg_s` (>= 0) into `downstream` (> 0): inverse of
    /// [`flow`](Self::flow). Needs a conductance above 0.
    pub fn upstream(&self, kg_s: f64, downstream: AbsolutePressure) -> UpstreamPressure {
        let choked = self.choked_per_pascal();
        let (b, p2) = (self.critical_ratio, downstream.pa);
        let needed_pa = kg_s / choked;
        if needed_pa * b >= p2 {
            let pressure = AbsolutePressure { pa: needed_pa };
            return UpstreamPressure { pressure, slope_pa_s_kg: 1.0 / choked };
        }
        let straight = self.elliptic(STRAIGHT_FROM) / (1.0 - STRAIGHT_FROM);
        if needed_pa <= straight * p2 * (1.0 / STRAIGHT_FROM - 1.0) {
            let slope_pa_s_kg = 1.0 / (choked * straight);
            let pressure = AbsolutePressure { pa: p2 + kg_s * slope_pa_s_kg };
            return UpstreamPressure { pressure, slope_pa_s_kg };
        }
        // The ellipse, squared, is a quadratic in the upstream pressure.
        let root = (1.0 - b) * (p2 * p2 + (1.0 - 2.0 * b) * needed_pa * needed_pa).sqrt();
        let rest = p2 * p2 + ((1.0 - b) * needed_pa).powi(2);
        let pressure = AbsolutePressure { pa: rest / (b * p2 + root) };
        let slope_pa_s_kg = 1.0 / self.flow(pressure, downstream).by_upstream;
        UpstreamPressure { pressure, slope_pa_s_kg }
    }

    /// Choked mass flow over upstream pressure, kg/(s Pa).
    fn choked_per_pascal(&self) -> f64 {
        self.sonic_conductance_m3_s_pa * REFERENCE_DENSITY_KG_M3
    }

    /// Share of choked flow at pressure ratio `ratio`, 0 to 1, and its derivative.
    fn share(&self, ratio: f64) -> (f64, f64) {
        if ratio <= self.critical_ratio {
            return (1.0, 0.0);
        }
        if ratio >= STRAIGHT_FROM {
            let slope = -self.elliptic(STRAIGHT_FROM) / (1.0 - STRAIGHT_FROM);
            return (slope * (ratio - 1.0), slope);
        }
        let share = self.elliptic(ratio);
        let width = 1.0 - self.critical_ratio;
        (share, -(ratio - self.critical_ratio) / (width * width * share))
    }

    fn elliptic(&self, ratio: f64) -> f64 {
        let x = (ratio - self.critical_ratio) / (1.0 - self.critical_ratio);
        (1.0 - x * x).sqrt()
    }
}
