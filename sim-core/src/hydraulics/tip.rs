//! Tips: flow out of the boom.

use super::law::{Loss, coefficient_of_kv, leak, quadratic};
use crate::fluids::{Liquid, TIP_DENSITY_KG_M3};
use crate::plumbing::{ShutOff, Tip};

/// Width of the band below its opening pressure in which a tip check valve goes from closed to fully
/// open, as a share of that pressure less what the open valve takes.
const OPENING_BAND: f64 = 0.05;
/// Smallest opening of a shut-off that is not closed.
const LEAST_OPENING: f64 = 1e-3;
/// Share of the straight part in the opening curve.
const STRAIGHT: f64 = 0.2;

/// Law of one open tip: pressure at its body against mean flow.
///
/// The tip is an orifice, `q = c sqrt(p)` with c from its rated flow in water at 20 degC and corrected
/// by the square root of density (ISO 5682-1, ISO 10625), behind the loss of nozzle body and
/// strainer. Pulse-width duty multiplies the mean flow. A tip never draws liquid in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TipLaw {
    /// Orifice and body together, Pa s2/m6.
    coefficient: f64,
    duty: f64,
    check: Option<Check>,
    /// The same with the shut-off fully open.
    open_coefficient: f64,
    shut_off: ShutOff,
}

/// The check valve of a nozzle body: closed up to the foot of its band, fully open at its top, taking
/// only `open_loss_pa` from there on. Between them the drop follows `t^n`, chosen so that value and
/// slope meet those of the open tip.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Check {
    foot_pa: f64,
    band_pa: f64,
    open_loss_pa: f64,
    /// Flow at the top of the band while open, m3/s.
    full_flow: f64,
    power: f64,
}

impl TipLaw {
    /// The law of `tip` passing `liquid`.
    pub fn new(tip: &Tip, liquid: &Liquid) -> Self {
        let density = liquid.density_kg_m3;
        let rated = tip.rated_flow_m3_s * (1.0 + tip.wear);
        let orifice = density / TIP_DENSITY_KG_M3 * tip.rated_at_pa / (rated * rated);
        let body = tip.body_kv_si.map_or(0.0, |kv| coefficient_of_kv(kv, density));
        let coefficient = orifice + body;
        Self {
            coefficient,
            duty: tip.duty,
            check: Check::of(tip.shut_off, coefficient),
            open_coefficient: coefficient,
            shut_off: tip.shut_off,
        }
    }

    /// Sets how far the tip's shut-off is open, (0, 1]: its free area, as of a hole as wide as the tip's own.
    pub(super) fn set_opening(&mut self, opening: f64) {
        let opening = opening.clamp(LEAST_OPENING, 1.0);
        let coefficient = self.open_coefficient / (opening * opening);
        if coefficient != self.coefficient {
            self.coefficient = coefficient;
            self.check = Check::of(self.shut_off, coefficient);
        }
    }

    /// Mean flow a fully open tip passes at `pressure_pa` >= 0, m3/s.
    pub fn open_flow(&self, pressure_pa: f64) -> f64 {
        let taken = self.check.map_or(0.0, |check| check.open_loss_pa);
        self.duty * ((pressure_pa - taken).max(0.0) / self.coefficient).sqrt()
    }

    /// Pressure and slope at mean flow `flow_m3_s`; reverse flow meets `reverse_slope` (Pa s/m3).
    pub fn loss_at(&self, flow_m3_s: f64, reverse_slope: f64) -> Loss {
        let q = flow_m3_s / self.duty;
        let foot = self.check.map_or(0.0, |check| check.foot_pa);
        if q < 0.0 {
            let leak = leak(flow_m3_s, reverse_slope);
            return Loss { pa: foot + leak.pa, ..leak };
        }
        let open = match self.check {
            Some(check) if q < check.full_flow => check.opening(q),
            Some(check) => {
                let orifice = quadratic(self.coefficient, q);
                Loss { pa: check.open_loss_pa + orifice.pa, ..orifice }
            }
            None => quadratic(self.coefficient, q),
        };
        Loss { pa: open.pa, slope: open.slope / self.duty }
    }
}

impl Check {
    fn of(shut_off: ShutOff, coefficient: f64) -> Option<Self> {
        let ShutOff::CheckValve { opens_at_pa, open_loss_pa, .. } = shut_off else {
            return None;
        };
        let band_pa = OPENING_BAND * (opens_at_pa - open_loss_pa);
        let power = (2.0 / OPENING_BAND - STRAIGHT) / (1.0 - STRAIGHT);
        let full_flow = ((opens_at_pa - open_loss_pa) / coefficient).sqrt();
        Some(Self { foot_pa: opens_at_pa - band_pa, band_pa, open_loss_pa, full_flow, power })
    }

    fn opening(&self, q: f64) -> Loss {
        let t = q / self.full_flow;
        let curved = (1.0 - STRAIGHT) * t.powf(self.power - 1.0);
        Loss {
            pa: self.foot_pa + self.band_pa * t * (STRAIGHT + curved),
            slope: self.band_pa * (STRAIGHT + self.power * curved) / self.full_flow,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::law::REVERSE_SLOPE;
    use super::*;
    use crate::plumbing::NodeId;
    use approx::assert_relative_eq;

    fn tip(shut_off: ShutOff) -> Tip {
        Tip {
            name: "t".into(),
            node: NodeId(0),
            section: None,
            x_m: 0.0,
            size: Some("04".into()),
            rated_flow_m3_s: 1.6e-3 / 60.0,
            rated_at_pa: 3e5,
            body_kv_si: None,
            shut_off,
            duty: 1.0,
            wear: 0.0,
            window_pa: None,
            position: None,
            in_use: true,
        }
    }

    fn rating_water() -> Liquid {
        Liquid::from_known("water", 20.0, Some(TIP_DENSITY_KG_M3), None, None)
    }

    fn checked() -> ShutOff {
        ShutOff::CheckValve { opens_at_pa: 7e4, reseats_at_pa: 5e4, open_loss_pa: 5e3 }
    }

    #[test]
    fn rated_flow_meets_rated_pressure() {
        let law = TipLaw::new(&tip(ShutOff::Open), &rating_water());
        assert_relative_eq!(
            law.loss_at(1.6e-3 / 60.0, REVERSE_SLOPE).pa,
            3e5,
            max_relative = 1e-12
        );
        assert_relative_eq!(law.open_flow(0.75e5), 0.8e-3 / 60.0, max_relative = 1e-12);
    }

    #[test]
    fn half_duty_halves_the_mean_flow_at_equal_pressure() {
        let half = Tip { duty: 0.5, ..tip(ShutOff::Open) };
        let law = TipLaw::new(&half, &rating_water());
        assert_relative_eq!(
            law.loss_at(0.8e-3 / 60.0, REVERSE_SLOPE).pa,
            3e5,
            max_relative = 1e-12
        );
    }

    #[test]
    fn check_valve_curve_meets_the_open_tip_in_value_and_slope() {
        let law = TipLaw::new(&tip(checked()), &rating_water());
        let full = law.open_flow(7e4);
        let (below, above) = (
            law.loss_at(full * (1.0 - 1e-9), REVERSE_SLOPE),
            law.loss_at(full * (1.0 + 1e-9), REVERSE_SLOPE),
        );
        assert_relative_eq!(below.pa, 7e4, max_relative = 1e-6);
        assert_relative_eq!(below.pa, above.pa, max_relative = 1e-7);
        assert_relative_eq!(below.slope, above.slope, max_relative = 1e-6);
    }

    #[test]
    fn check_valve_passes_next_to_nothing_below_its_band() {
        let law = TipLaw::new(&tip(checked()), &rating_water());
        assert!(law.loss_at(0.0, REVERSE_SLOPE).pa > 0.9 * 7e4);
        assert!(law.loss_at(-1e-11, REVERSE_SLOPE).pa < -1e5);
    }
}
