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

/// How one size, or two that are open together, answer a demand.
#[derive(Clone, Debug, PartialEq)]
pub struct TipWindow {
    /// The size, or both.
    pub sizes: Vec<TipSize>,
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
    TIP_SIZES.iter().map(|size| window(demand, vec![*size])).collect()
}

/// Each of the sizes that a nozzle body carries, and each two of them open together, against `demand`, by their flow.
pub fn body_table(demand: &TipDemand, carried: &[TipSize]) -> Vec<TipWindow> {
    let alone = carried.iter().map(|size| vec![*size]);
    let pairs = carried
        .iter()
        .enumerate()
        .flat_map(|(i, one)| carried[i + 1..].iter().map(|other| vec![*one, *other]));
    let mut table: Vec<TipWindow> = alone.chain(pairs).map(|sizes| window(demand, sizes)).collect();
    table.sort_by(|a, b| a.flow_m3_s().total_cmp(&b.flow_m3_s()));
    table
}

impl TipWindow {
    /// Flow of water at the nominal pressure, m3/s.
    pub fn flow_m3_s(&self) -> f64 {
        self.sizes.iter().map(TipSize::flow_m3_s).sum()
    }

    /// Its code, or both: `03 + 05`.
    pub fn code(&self) -> String {
        self.sizes.iter().map(|size| size.code).collect::<Vec<_>>().join(" + ")
    }

    /// Rate at `speed_m_s` and `pressure_pa`, m, of what is open all the time under `demand`.
    pub fn rate_m(&self, demand: &TipDemand, speed_m_s: f64, pressure_pa: f64) -> f64 {
        rated(demand, &self.sizes) * (pressure_pa / NOMINAL_PRESSURE_PA).sqrt()
            / (demand.spacing_m * speed_m_s)
    }
}

/// Flow of the liquid at the nominal pressure, m3/s: tips of one body see one pressure.
fn rated(demand: &TipDemand, sizes: &[TipSize]) -> f64 {
    let flow_m3_s: f64 = sizes.iter().map(TipSize::flow_m3_s).sum();
    flow_m3_s * (TIP_DENSITY_KG_M3 / demand.density_kg_m3).sqrt()
}

fn window(demand: &TipDemand, sizes: Vec<TipSize>) -> TipWindow {
    let rated = rated(demand, &sizes);
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
        sizes,
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
        let size = table.iter().find(|window| window.code() == "04").unwrap();
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

    /// By hand: 1.2 and 2.0 L/min at 3 bar are 3.2 L/min together; 3.2 L/min at 200 L/ha and 0.5 m is 19.2 km/h.
    #[test]
    fn two_tips_of_a_body_give_the_sum_of_their_flows_at_its_pressure() {
        let carried: Vec<TipSize> =
            TIP_SIZES.into_iter().filter(|size| ["03", "05"].contains(&size.code)).collect();
        let at_three_bar = TipDemand { pressure_pa: (3e5, 3e5), ..demand() };
        let table = body_table(&at_three_bar, &carried);
        let codes: Vec<String> = table.iter().map(TipWindow::code).collect();
        assert_eq!(codes, ["03", "05", "03 + 05"]);
        assert_relative_eq!(table[2].speed_m_s.1, 19.2 / 3.6, max_relative = 1e-9);
        assert_relative_eq!(
            table[2].rate_m(&at_three_bar, 19.2 / 3.6, 3e5),
            200e-7,
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
