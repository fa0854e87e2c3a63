//! A supply of compressed air: compressor, receiver, regulator, valve.

use super::{AirRestriction, MassFlow, REFERENCE_DENSITY_KG_M3, density, mass_of_free_air};
use crate::fluids::AbsolutePressure;

/// A supply and its state.
///
/// The compressor runs whenever the receiver is below cut-out. The regulator holds what reaches the valve at or
/// below its set pressure. No air runs back into the supply. Without a receiver the supply is the regulated
/// pressure, limited by the compressor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Supply {
    /// Volume of the receiver, m3, >= 0.
    pub receiver_m3: f64,
    /// Pressure in the receiver now, > 0. Means nothing without a receiver.
    pub receiver: AbsolutePressure,
    /// Free air delivery of the compressor (ISO 1217), m3/s, >= 0.
    pub free_air_delivery_m3_s: f64,
    /// Pressure at which the compressor stops.
    pub cut_out: AbsolutePressure,
    /// Set pressure of the regulator, > 0.
    pub regulated: AbsolutePressure,
    /// The valve behind the regulator.
    pub valve: AirRestriction,
}

impl Supply {
    /// Mass flow into `downstream` (> 0) as the receiver stands now, kg/s and >= 0, and its
    /// derivative by that pressure, kg/(s Pa) and <= 0.
    pub fn mass_flow(&self, downstream: AbsolutePressure) -> (f64, f64) {
        let upstream = self.upstream();
        if downstream > upstream {
            return (0.0, 0.0);
        }
        let MassFlow { kg_s, by_downstream, .. } = self.valve.flow(upstream, downstream);
        let most_kg_s = mass_of_free_air(self.free_air_delivery_m3_s);
        if self.has_receiver() || kg_s <= most_kg_s {
            (kg_s, by_downstream)
        } else {
            (most_kg_s, 0.0)
        }
    }

    /// Mass that flows into `downstream` (> 0) in `dt_s` (>= 0), kg; the receiver and the
    /// compressor follow.
    ///
    /// It is [`mass_flow`](Self::mass_flow) times `dt_s`, but never so much that the receiver would fall below
    /// `downstream`.
    pub fn deliver(&mut self, downstream: AbsolutePressure, dt_s: f64) -> f64 {
        let wanted_kg = self.mass_flow(downstream).0 * dt_s;
        if !self.has_receiver() {
            return wanted_kg;
        }
        let most_fed_kg = mass_of_free_air(self.free_air_delivery_m3_s) * dt_s;
        // Above cut-out the compressor adds nothing to what the receiver can give.
        let helped_kg = if self.cut_out > downstream { most_fed_kg } else { 0.0 };
        let spare_kg = (self.receiver.pa - downstream.pa) * self.capacity_kg_pa() + helped_kg;
        let taken_kg = wanted_kg.min(spare_kg.max(0.0));
        self.draw(taken_kg, dt_s);
        taken_kg
    }

    /// Takes `taken_kg` out of the receiver in `dt_s`; the compressor follows. Nothing changes without a receiver.
    pub fn draw(&mut self, taken_kg: f64, dt_s: f64) {
        if !self.has_receiver() {
            return;
        }
        let capacity_kg_pa = self.capacity_kg_pa();
        let most_fed_kg = mass_of_free_air(self.free_air_delivery_m3_s) * dt_s;
        let room_kg = (self.cut_out.pa - self.receiver.pa) * capacity_kg_pa + taken_kg;
        let fed_kg = room_kg.min(most_fed_kg).max(0.0);
        self.receiver.pa += (fed_kg - taken_kg) / capacity_kg_pa;
    }

    fn capacity_kg_pa(&self) -> f64 {
        self.receiver_m3 * density(AbsolutePressure { pa: 1.0 })
    }

    /// Mass of air in the receiver, kg.
    pub fn stored_kg(&self) -> f64 {
        self.receiver_m3 * density(self.receiver)
    }

    /// Pressure ahead of the valve.
    pub fn upstream(&self) -> AbsolutePressure {
        if self.has_receiver() { self.receiver.min(self.regulated) } else { self.regulated }
    }

    /// Largest flow the supply keeps up, m3/s of free air of 1.185 kg/m3 (ISO 6358); infinite with a receiver.
    pub fn most_m3_s(&self) -> f64 {
        if self.has_receiver() {
            return f64::INFINITY;
        }
        mass_of_free_air(self.free_air_delivery_m3_s) / REFERENCE_DENSITY_KG_M3
    }

    fn has_receiver(&self) -> bool {
        self.receiver_m3 > 0.0
    }
}
