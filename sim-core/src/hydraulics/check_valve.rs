//! Check and relief valves.

use super::law::{Loss, coefficient_of_kv, leak};
use super::mixture::Seat;
use crate::fluids::Liquid;
use crate::plumbing::CheckValve;

/// Law of a spring-loaded check valve: the spring takes its opening pressure, the seat a loss with
/// the square of flow; against its direction it leaks next to nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CheckLaw {
    opens_at_pa: f64,
    pub(super) seat: Seat,
}

impl CheckLaw {
    /// The law of `valve` passing `liquid`.
    pub(super) fn new(valve: &CheckValve, liquid: &Liquid) -> Self {
        let coefficient = coefficient_of_kv(valve.kv_si, liquid.density_kg_m3);
        Self { opens_at_pa: valve.opens_at_pa, seat: Seat::of_liquid(coefficient) }
    }

    /// Loss and slope at `flow_m3_s`; reverse flow meets `reverse_slope` (Pa s/m3).
    pub(super) fn loss_at(&self, flow_m3_s: f64, reverse_slope: f64) -> Loss {
        let seat = if flow_m3_s < 0.0 {
            leak(flow_m3_s, reverse_slope)
        } else {
            self.seat.loss_at(flow_m3_s)
        };
        Loss { pa: self.opens_at_pa + seat.pa, slope: seat.slope }
    }
}
