//! Lines: friction along the bore plus the losses of fittings.

use super::friction::{Friction, LAMINAR_UP_TO};
use super::law::Loss;
use crate::fluids::Liquid;
use crate::plumbing::Line;
use std::f64::consts::PI;

/// Darcy-Weisbach law of one line full of one liquid:
/// `dp = (f L/D + K) rho u|u| / 2` (Darcy 1857, Weisbach 1845).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineLaw {
    /// Reynolds number for a flow of 1 m3/s.
    reynolds_per_flow: f64,
    /// Pa of velocity head for (1 m3/s)^2.
    head_per_flow2: f64,
    /// Length over bore.
    aspect: f64,
    losses: f64,
    /// Laminar friction, Pa per m3/s: `128 mu L / (pi D^4)`.
    laminar: f64,
    fixed_friction: Option<f64>,
    friction: Friction,
    /// Pa per m3/s2 of acceleration: `rho L / A`.
    inertance: f64,
}

impl LineLaw {
    /// The law of `line` holding `liquid` over its `liquid_length_m`.
    pub fn new(line: &Line, liquid: &Liquid, liquid_length_m: f64) -> Self {
        Self::of(line, liquid.density_kg_m3, liquid.viscosity_pa_s, liquid_length_m)
    }

    /// The law of `line` holding anything of that density and viscosity over `length_m`.
    pub(super) fn of(line: &Line, density_kg_m3: f64, viscosity_pa_s: f64, length_m: f64) -> Self {
        let area = line.area_m2();
        let kinematic = viscosity_pa_s / density_kg_m3;
        Self {
            reynolds_per_flow: line.bore_m / (area * kinematic),
            head_per_flow2: 0.5 * density_kg_m3 / (area * area),
            aspect: length_m / line.bore_m,
            // Fittings are spread along the line: a column meets those of its own length.
            losses: line.losses * (length_m / line.length_m).min(1.0),
            laminar: 128.0 * viscosity_pa_s * length_m / (PI * line.bore_m.powi(4)),
            fixed_friction: line.fixed_friction,
            friction: Friction::new(line.roughness_m / line.bore_m),
            inertance: density_kg_m3 * length_m / area,
        }
    }

    /// Pressure that accelerates its liquid by 1 m3/s each second, Pa s2/m3: `rho L / A` (rigid column; Wylie
    /// & Streeter).
    pub fn inertance(&self) -> f64 {
        self.inertance
    }

    /// Velocity head at `flow_m3_s`, Pa.
    pub fn velocity_head(&self, flow_m3_s: f64) -> f64 {
        self.head_per_flow2 * flow_m3_s * flow_m3_s
    }

    /// Pa of velocity head for (1 m3/s)^2.
    pub(super) fn head_per_flow2(&self) -> f64 {
        self.head_per_flow2
    }

    /// Flow whose velocity head is `head_pa`, m3/s.
    pub(super) fn flow_at_velocity_head(&self, head_pa: f64) -> f64 {
        (head_pa / self.head_per_flow2).sqrt()
    }

    /// Reynolds number at `flow_m3_s`.
    pub fn reynolds(&self, flow_m3_s: f64) -> f64 {
        self.reynolds_per_flow * flow_m3_s.abs()
    }

    /// Loss and slope at `flow_m3_s`.
    pub fn loss_at(&self, flow_m3_s: f64) -> Loss {
        let size = flow_m3_s.abs();
        let head2 = self.head_per_flow2 * size;
        let (friction, friction_slope) = self.friction_drop(size);
        let pa = friction + self.losses * head2 * size;
        let slope = friction_slope + 2.0 * self.losses * head2;
        Loss { pa: pa.copysign(flow_m3_s), slope }
    }

    /// Friction alone for a flow of `size` >= 0: drop and slope.
    fn friction_drop(&self, size: f64) -> (f64, f64) {
        let head = self.head_per_flow2 * size * size * self.aspect;
        if let Some(f) = self.fixed_friction {
            return (f * head, 2.0 * f * self.head_per_flow2 * size * self.aspect);
        }
        let reynolds = self.reynolds_per_flow * size;
        if reynolds <= LAMINAR_UP_TO {
            return (self.laminar * size, self.laminar);
        }
        let factor = self.friction.factor(reynolds);
        let pa = factor.f * head;
        (pa, 2.0 * pa / size + factor.slope * self.reynolds_per_flow * head)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn water() -> Liquid {
        Liquid {
            name: "water".into(),
            temperature_c: 20.0,
            density_kg_m3: 998.2,
            viscosity_pa_s: 1.0016e-3,
            vapour_pressure: crate::fluids::AbsolutePressure { pa: 2339.0 },
            surface_tension_n_m: 0.0727,
            caution: None,
        }
    }

    fn line(bore_m: f64, length_m: f64, losses: f64) -> LineLaw {
        let line = Line { roughness_m: 1e-5, losses, ..Line::plain(bore_m, length_m) };
        LineLaw::new(&line, &water(), length_m)
    }

    #[test]
    fn laminar_drop_is_hagen_poiseuille() {
        // 10 mm bore, 1e-5 m3/s: 128 mu q / (pi D^4) = 40.80886 Pa/m.
        assert_relative_eq!(line(0.01, 1.0, 0.0).loss_at(1e-5).pa, 40.808_86, max_relative = 1e-6);
    }

    proptest! {
        #[test]
        fn drop_is_odd_and_slope_matches_central_difference(
            log_q in -7.0f64..-2.5, bore in 0.008f64..0.08, losses in 0.0f64..10.0,
        ) {
            let (law, q) = (line(bore, 3.0, losses), 10f64.powf(log_q));
            prop_assert_eq!(law.loss_at(-q).pa, -law.loss_at(q).pa);
            let step = q * 1e-5;
            let difference = (law.loss_at(q + step).pa - law.loss_at(q - step).pa) / (2.0 * step);
            prop_assert!((law.loss_at(q).slope - difference).abs() < 1e-4 * difference);
        }
    }
}
