//! Air in the network: what stores it, what lets it out, what lets it in.
//!
//! Flows of these links are volumes: of a pocket at its own pressure, of vent and inlet as free air.

use super::law::Loss;
use crate::air::{AirRestriction, REFERENCE_DENSITY_KG_M3};
use crate::fluids::{AbsolutePressure, GaugePressure};

/// How stiffly a flow that cannot grow any more resists growing, as the pressure ahead over the share by which it grows:
/// a thousandth more at most.
const CHOKED: f64 = 1e3;
/// Share of its volume by which an air pocket may shrink in a time step before its law goes on straight.
const STRAIGHT_FROM: f64 = 0.99;

/// Air held at a node: what flows in compresses it (Boyle 1662: absolute pressure times volume stays).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PocketLaw {
    /// Volume when the time step starts, m3, > 0.
    pub(crate) volume_m3: f64,
    /// Pressure when the time step starts, > 0.
    pub(crate) start: AbsolutePressure,
    /// Length of the time step, s, > 0.
    pub(crate) dt_s: f64,
}

impl PocketLaw {
    /// Gauge pressure at the end of the time step and its slope, for a flow into the pocket.
    pub(crate) fn loss_at(&self, inward_m3_s: f64) -> Loss {
        let per_flow = self.dt_s / self.volume_m3;
        let shrunk = inward_m3_s * per_flow;
        let at =
            |share: f64| (self.start.pa / (1.0 - share), self.start.pa / (1.0 - share).powi(2));
        let (pa, slope) = if shrunk <= STRAIGHT_FROM {
            at(shrunk)
        } else {
            let (pa, slope) = at(STRAIGHT_FROM);
            (pa + slope * (shrunk - STRAIGHT_FROM), slope)
        };
        Loss { pa: AbsolutePressure { pa }.gauge().pa, slope: slope * per_flow }
    }
}

/// Liquid held at a node: what flows in compresses it and widens the lines, a little.
///
/// A column that stops all at once does not raise the pressure without limit. Below vapour pressure the
/// liquid parts and its pressure falls no further.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SpringLaw {
    /// Pressure when the time step starts.
    pub(crate) start: GaugePressure,
    /// Rise of pressure by a flow of 1 m3/s into the node for the time step, Pa s/m3, > 0.
    pub(crate) slope: f64,
    /// Vapour pressure of the liquid.
    pub(crate) vapour: GaugePressure,
}

impl SpringLaw {
    /// Gauge pressure at the end of the time step and its slope, for a flow into the node.
    pub(crate) fn loss_at(&self, inward_m3_s: f64) -> Loss {
        let pa = self.start.pa + self.slope * inward_m3_s;
        if pa >= self.vapour.pa {
            return Loss { pa, slope: self.slope };
        }
        let slope = PARTED * self.slope;
        Loss { pa: self.vapour.pa + PARTED * (pa - self.vapour.pa), slope }
    }
}

/// How much softer parted liquid is.
const PARTED: f64 = 1e-3;

/// Rise of a spring's pressure, as a share of it, at the flow an atmosphere drives through the hole.
const SPRING_GIVES: f64 = 0.05;

/// A hole through which air leaves to the surroundings, by ISO 6358.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct VentLaw {
    /// The hole.
    pub(crate) hole: AirRestriction,
    /// Pressure that a check valve ahead of the hole takes, Pa, >= 0.
    pub(crate) spring_pa: f64,
}

impl VentLaw {
    /// Gauge pressure ahead of the hole and its slope, for an outflow in m3/s of free air (1.185 kg/m3); inward
    /// flow meets `reverse_slope` where there is a check valve, and the same hole where there is none.
    pub(crate) fn loss_at(&self, outward_m3_s: f64, reverse_slope: f64) -> Loss {
        if outward_m3_s < 0.0 && self.spring_pa > 0.0 {
            let pa = self.spring_pa + reverse_slope * outward_m3_s;
            return Loss { pa, slope: reverse_slope };
        }
        let mass = outward_m3_s.abs() * REFERENCE_DENSITY_KG_M3;
        let ahead = self.hole.upstream(mass, AbsolutePressure::ATMOSPHERE);
        let pa = ahead.pressure.gauge().pa.copysign(outward_m3_s);
        let slope = ahead.slope_pa_s_kg * REFERENCE_DENSITY_KG_M3;
        // The spring gives way a little more the more passes, so that tips side by side share what comes.
        let spring = SPRING_GIVES * self.spring_pa;
        let stiffness =
            spring / (self.hole.sonic_conductance_m3_s_pa * AbsolutePressure::ATMOSPHERE.pa);
        Loss { pa: self.spring_pa + stiffness * outward_m3_s + pa, slope: slope + stiffness }
    }
}

/// The supply of compressed air, by ISO 6358 from the pressure ahead of its valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct InletLaw {
    /// Pressure ahead of the valve, > 0.
    pub(crate) upstream: AbsolutePressure,
    /// The valve.
    pub(crate) valve: AirRestriction,
    /// Largest flow of free air that the supply keeps up, m3/s; infinite if the valve alone limits it.
    pub(crate) most_m3_s: f64,
}

impl InletLaw {
    /// What pressure falls short of that of the surroundings behind the valve, and its slope, for an inflow in
    /// m3/s of free air (1.185 kg/m3): the gauge pressure there, negative. Reverse flow meets `reverse_slope`.
    pub(crate) fn loss_at(&self, inflow_m3_s: f64, reverse_slope: f64) -> Loss {
        let (p1, b) = (self.upstream.pa, self.valve.critical_ratio);
        if inflow_m3_s < 0.0 {
            let pa = reverse_slope * inflow_m3_s - self.upstream.gauge().pa;
            return Loss { pa, slope: reverse_slope };
        }
        let choked = self.valve.sonic_conductance_m3_s_pa * p1;
        // The ellipse of ISO 6358 is left where it has become as steep as the straight line beyond.
        let steepest = CHOKED / (1.0 - b);
        let limit = (self.most_m3_s / choked).min(steepest / steepest.hypot(1.0));
        let share = inflow_m3_s / choked;
        let root = |share: f64| (1.0 - share * share).sqrt();
        let behind_pa =
            |share: f64| AbsolutePressure { pa: p1 * (b + (1.0 - b) * root(share)) }.gauge().pa;
        if share >= limit {
            let slope = CHOKED * p1 / (limit * choked);
            return Loss { pa: slope * (inflow_m3_s - limit * choked) - behind_pa(limit), slope };
        }
        Loss { pa: -behind_pa(share), slope: p1 * (1.0 - b) * share / root(share) / choked }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn slope_holds(law: impl Fn(f64) -> Loss, flow: f64) {
        let step = 1e-6 * flow.abs();
        let difference = (law(flow + step).pa - law(flow - step).pa) / (2.0 * step);
        assert_relative_eq!(law(flow).slope, difference, max_relative = 1e-4);
    }

    #[test]
    fn a_pocket_at_half_its_volume_has_twice_its_absolute_pressure() {
        let law = PocketLaw { volume_m3: 1e-3, start: AbsolutePressure { pa: 2e5 }, dt_s: 0.1 };
        let twice = AbsolutePressure { pa: 4e5 }.gauge();
        assert_relative_eq!(law.loss_at(5e-3).pa, twice.pa, max_relative = 1e-12);
        [-2e-3, 1e-4, 3e-3, 9.5e-3].into_iter().for_each(|q| slope_holds(|q| law.loss_at(q), q));
    }

    #[test]
    fn a_vent_passes_the_iso_6358_flow_at_its_upstream_pressure() {
        for critical_ratio in [0.2, 0.3, 0.5, 0.528] {
            let hole = AirRestriction { sonic_conductance_m3_s_pa: 1e-8, critical_ratio };
            let law = VentLaw { hole, spring_pa: 0.0 };
            for gauge in [2e3, 5e4, 1e5, 4e5] {
                let ahead = GaugePressure { pa: gauge }.absolute();
                let mass = hole.flow(ahead, AbsolutePressure::ATMOSPHERE).kg_s;
                let flow = mass / REFERENCE_DENSITY_KG_M3;
                assert_relative_eq!(law.loss_at(flow, 1e17).pa, gauge, max_relative = 1e-6);
                slope_holds(|q| law.loss_at(q, 1e17), flow);
            }
        }
    }

    #[test]
    fn an_inlet_passes_the_iso_6358_flow_into_its_downstream_pressure() {
        let law = InletLaw {
            upstream: AbsolutePressure { pa: 7e5 },
            valve: AirRestriction { sonic_conductance_m3_s_pa: 1e-8, critical_ratio: 0.35 },
            most_m3_s: f64::INFINITY,
        };
        let over: f64 = (5.0 / 7.0 - 0.35) / 0.65;
        let flow = 1e-8 * 7e5 * (1.0 - over * over).sqrt();
        let behind = AbsolutePressure { pa: 5e5 }.gauge();
        assert_relative_eq!(law.loss_at(flow, 1e17).pa, -behind.pa, max_relative = 1e-9);
        slope_holds(|q| law.loss_at(q, 1e17), flow);
        // Choked: more than C p1 does not pass at any pressure.
        assert!(law.loss_at(7.1e-3, 1e17).pa > AbsolutePressure::ATMOSPHERE.pa);
    }
}
