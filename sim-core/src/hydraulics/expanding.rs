//! Flow that takes more room at one end of a link than at the other.

use crate::air::density;
use crate::fluids::{AbsolutePressure, GaugePressure};

/// A link whose flow counts differently at its two ends, because air in it expands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Expanding {
    pub(super) link: usize,
    /// Density that its flow is a volume of, kg/m3.
    pub(super) density_kg_m3: f64,
    /// Part of its flow that is liquid, m3/s, as far as it flows as much.
    pub(super) liquid_m3_s: f64,
}

/// Lowest pressure at which a density is taken during an iteration.
const LEAST: AbsolutePressure = AbsolutePressure { pa: 1e3 };
/// Most that air expands between the middle of a link and its end.
const MOST_EXPANSION: f64 = 20.0;
impl Expanding {
    /// Volume at `end` of one volume of its flow, which is `flow_m3_s`.
    pub(super) fn weight(&self, flow_m3_s: f64, end: GaugePressure) -> f64 {
        let at_end = density(end.absolute().max(LEAST));
        let air_share = self.air_share(flow_m3_s);
        let weight = 1.0 - air_share + air_share * self.density_kg_m3 / at_end;
        weight.clamp(1.0 / MOST_EXPANSION, MOST_EXPANSION)
    }

    /// The same for a little more flow than `flow_m3_s`.
    pub(super) fn margin(&self, flow_m3_s: f64, end: GaugePressure) -> f64 {
        if flow_m3_s.abs() < self.liquid_m3_s {
            return 1.0;
        }
        let weight = self.density_kg_m3 / density(end.absolute().max(LEAST));
        weight.clamp(1.0 / MOST_EXPANSION, MOST_EXPANSION)
    }

    /// Part of a flow of `flow_m3_s` that is air, m3/s.
    pub(super) fn air_m3_s(&self, flow_m3_s: f64) -> f64 {
        flow_m3_s * self.air_share(flow_m3_s)
    }

    /// Volume of one volume of its air at an end where all of its flow has `weight`.
    pub(super) fn air_weight(&self, weight: f64, flow_m3_s: f64) -> f64 {
        let air_share = self.air_share(flow_m3_s);
        if air_share > 0.0 { (weight - 1.0 + air_share) / air_share } else { 1.0 }
    }

    fn air_share(&self, flow_m3_s: f64) -> f64 {
        if self.liquid_m3_s <= 0.0 {
            return 1.0;
        }
        (1.0 - self.liquid_m3_s / flow_m3_s.abs()).max(0.0)
    }
}
