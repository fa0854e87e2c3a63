//! Liquid and air that pass a part together.

use super::law::{Loss, quadratic};

/// The seat of a valve, strainer, meter or orifice: its drop is the density of what passes times the square of its flow, at
/// most that of liquid alone.
///
/// Liquid and air pass as one homogeneous mixture. How much liquid reaches the part is given; what else passes is air, so
/// the drop `c (q_liquid + r q_air) q` rises with the flow `q` and liquid meets its full resistance, however much air is beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Seat {
    /// Coefficient for liquid alone, Pa s2/m6.
    coefficient: f64,
    /// Liquid that reaches it, m3/s; infinite where no air does.
    liquid_m3_s: f64,
    /// Density of the air over that of the liquid.
    air_ratio: f64,
}

impl Seat {
    /// A seat that passes nothing but liquid.
    pub(super) fn of_liquid(coefficient: f64) -> Self {
        Self { coefficient, liquid_m3_s: f64::INFINITY, air_ratio: 0.0 }
    }

    /// The same seat where `liquid_m3_s` reaches it beside air of `air_ratio` times the density of the liquid.
    pub(super) fn with_air(self, liquid_m3_s: f64, air_ratio: f64) -> Self {
        Self { liquid_m3_s, air_ratio, ..self }
    }

    /// Loss and slope at `flow_m3_s`.
    pub(super) fn loss_at(&self, flow_m3_s: f64) -> Loss {
        if self.liquid_m3_s == f64::INFINITY {
            return quadratic(self.coefficient, flow_m3_s);
        }
        let size = flow_m3_s.abs();
        let air = quadratic(self.coefficient * self.air_ratio, size);
        let heavier = self.coefficient * (1.0 - self.air_ratio);
        // Per unit of flow, and how that grows.
        let (liquid, turns) =
            if size < self.liquid_m3_s { (size, 2.0) } else { (self.liquid_m3_s, 1.0) };
        Loss {
            pa: (air.pa + heavier * liquid * size).copysign(flow_m3_s),
            slope: air.slope + turns * heavier * liquid,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_mixture_meets_the_density_of_what_passes() {
        let (coefficient, liquid, ratio) = (4e9, 1e-3, 2e-3);
        let seat = Seat::of_liquid(coefficient).with_air(liquid, ratio);
        // Liquid alone up to what reaches it, the mean density of both beyond.
        let flow = 0.5e-3;
        assert_relative_eq!(seat.loss_at(flow).pa, coefficient * flow * flow, max_relative = 2e-3);
        let flow = 8e-3;
        let share = liquid / flow;
        let density_ratio = share + (1.0 - share) * ratio;
        let expected = density_ratio * coefficient * flow * flow;
        assert_relative_eq!(seat.loss_at(flow).pa, expected, max_relative = 1e-9);
        assert_eq!(seat.loss_at(-flow).pa, -seat.loss_at(flow).pa);
        for flow in [1e-5, 0.7e-3, 2e-3, 8e-3] {
            let step = 1e-7 * flow;
            let rise = seat.loss_at(flow + step).pa - seat.loss_at(flow - step).pa;
            assert_relative_eq!(seat.loss_at(flow).slope, rise / (2.0 * step), max_relative = 1e-5);
        }
    }
}
