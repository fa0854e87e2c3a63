//! Tip sizes for a rate over a range of speeds.

use crate::fluids::TIP_DENSITY_KG_M3;
use crate::plumbing::{NOMINAL_PRESSURE_PA, TIP_SIZES, TipSize};

/// What is wanted of the tips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TipDemand {
    /// Application rate, m (m3 per m2), > 0.
    pub rate_m: f64,
    /// Lowest and highest speed, m/s, > 0, in this order.
    pub speed_m_s: (f64, f64),
    /// Distance between tips, m, > 0.
    pub spacing_m: f64,
    /// Lowest and highest pressure the tips may run at, Pa, > 0, in this order.
    pub pressure_pa: (f64, f64),
    /// Lowest duty of pulse-width control, (0, 1]; 1 without it.
    pub least_duty: f64,
    /// Density of the liquid, kg/m3, > 0.
    pub density_kg_m3: f64,
}

/// How one size answers a demand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TipWindow {
    /// The size.
    pub size: TipSize,
    /// Pressure at the lowest and the highest speed with tips open all the time, Pa.
    pub pressure_pa: (f64, f64),
    /// Lowest and highest speed at which the rate is met within the pressures, m/s.
    pub speed_m_s: (f64, f64),
    /// Pressure held under pulse-width control: that at which the highest speed just takes full duty, within the
    /// pressures allowed, Pa.
    pub held_pa: f64,
    /// Duty at the lowest and the highest speed at that pressure; above 1 the rate is not reached.
    pub duty: (f64, f64),
    /// Whether it serves over the whole range of speeds.
    pub serves: bool,
}

/// Every size of ISO 10625 against `demand`.
///
/// Flow per tip is rate times spacing times speed (L/min = L/ha * km/h * m / 600; gal/min = gal/ac *
/// mph * in / 5940); pressure follows from the square-root law, corrected by the square root of density.
pub fn tip_table(demand: &TipDemand) -> Vec<TipWindow> {
    TIP_SIZES.iter().map(|size| window(demand, size)).collect()
}

fn window(demand: &TipDemand, size: &TipSize) -> TipWindow {
    // Flow of the liquid at the nominal pressure.
    let rated = size.flow_m3_s() * (TIP_DENSITY_KG_M3 / demand.density_kg_m3).sqrt();
    let flow = |speed: f64| demand.rate_m * demand.spacing_m * speed;
    let pressure = |speed: f64| NOMINAL_PRESSURE_PA * (flow(speed) / rated).powi(2);
    let speed_at = |pa: f64| rated * (pa / NOMINAL_PRESSURE_PA).sqrt() / flow(1.0);
    let (slow, fast) = demand.speed_m_s;
    let (low, high) = demand.pressure_pa;
    let held = pressure(fast).max(low).min(high);
    let duty = |speed: f64| speed / speed_at(held);
    let slowest = speed_at(low) * demand.least_duty;
    let serves = pressure(fast) <= high * (1.0 + 1e-9)
        && if demand.least_duty < 1.0 {
            duty(slow) >= demand.least_duty * (1.0 - 1e-9)
        } else {
            pressure(slow) >= low * (1.0 - 1e-9)
        };
    TipWindow {
        size: *size,
        pressure_pa: (pressure(slow), pressure(fast)),
        speed_m_s: (slowest, speed_at(high)),
        held_pa: held,
        duty: (duty(slow), duty(fast)),
        serves,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// 200 L/ha, 10 km/h, 0.5 m: 1.667 L/min (derived from the definition of the rate).
    fn demand() -> TipDemand {
        TipDemand {
            rate_m: 200e-7,
            speed_m_s: (10.0 / 3.6, 10.0 / 3.6),
            spacing_m: 0.5,
            pressure_pa: (1e5, 6e5),
            least_duty: 1.0,
            density_kg_m3: TIP_DENSITY_KG_M3,
        }
    }

    #[test]
    fn pressure_follows_the_square_root_law() {
        let table = tip_table(&demand());
        let size = table.iter().find(|window| window.size.code == "04").unwrap();
        assert_relative_eq!(
            size.pressure_pa.0,
            3e5 * (5.0f64 / 3.0 / 1.6).powi(2),
            max_relative = 1e-9
        );
        assert!(size.serves);
    }

    #[test]
    fn a_heavier_liquid_needs_more_pressure_in_proportion() {
        let heavy = TipDemand { density_kg_m3: 1.28 * TIP_DENSITY_KG_M3, ..demand() };
        let (light, heavy) = (tip_table(&demand()), tip_table(&heavy));
        assert_relative_eq!(
            heavy[5].pressure_pa.0,
            1.28 * light[5].pressure_pa.0,
            max_relative = 1e-9
        );
    }

    #[test]
    fn pulse_width_lets_a_size_serve_a_wider_range_of_speeds() {
        let range = TipDemand { speed_m_s: (1.5, 4.0), pressure_pa: (2e5, 4e5), ..demand() };
        let pulsed = TipDemand { least_duty: 0.3, ..range };
        let serving = |demand| tip_table(&demand).iter().filter(|window| window.serves).count();
        assert_eq!(serving(range), 0);
        assert!(serving(pulsed) > 0);
    }
}
