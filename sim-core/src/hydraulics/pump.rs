//! Pumps: a rise of pressure that falls with flow.

use super::law::{Loss, leak};
use super::monotone_cubic::MonotoneCubic;
use crate::fluids::{GRAVITY_M_S2, Liquid};
use crate::plumbing::Pump;

/// Law of a pump at any speed: `H(q, r) = r^2 H(q/r)` (affinity laws), through a monotone cubic over
/// the user's points; beyond the last point the curve falls ever faster. Its own check lets nothing
/// back. One that displaces sweeps `r q` and loses of it in proportion to its pressure, at any speed alike.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpLaw {
    curve: MonotoneCubic,
    /// Pa per m of head.
    weight: f64,
    speed: f64,
    /// Value, slope and bend of the curve beyond its last point.
    beyond: (f64, f64, f64),
    shut_off_head: f64,
    /// Flow swept at speed 1, m3/s, of a pump that displaces.
    swept_m3_s: Option<f64>,
    /// Smallest slope used where the curve is flat, m of head per m3/s at speed 1.
    flat_slope: f64,
}

/// Speed below which a pump's flat part counts as steep as at this one: a standing pump has a slope too.
const LEAST_SPEED: f64 = 0.01;

impl PumpLaw {
    /// The law of `pump` moving `liquid` at `speed`, a share of its curve's speed.
    pub fn new(pump: &Pump, liquid: &Liquid, speed: f64) -> Self {
        let curve = MonotoneCubic::new(pump.curve.flow_m3_s.clone(), pump.curve.head_m.clone());
        let (start, end) = curve.range();
        let ((shut_off_head, _), (head, slope)) = (curve.at(start), curve.at(end));
        let bend = (slope.abs() / (2.0 * end)).max(shut_off_head / (end * end));
        Self {
            curve,
            weight: liquid.density_kg_m3 * GRAVITY_M_S2,
            speed,
            beyond: (head, slope, bend),
            shut_off_head,
            swept_m3_s: pump.displacement.map(|_| end),
            flat_slope: 1e-4 * shut_off_head / end,
        }
    }

    /// Sets the speed, a share of the curve's speed, >= 0.
    pub(super) fn set_speed(&mut self, speed: f64) {
        self.speed = speed;
    }

    /// The speed, a share of the curve's speed.
    pub(super) fn speed(&self) -> f64 {
        self.speed
    }

    /// Largest flow the curve covers at the present speed, m3/s.
    pub(super) fn covers_up_to(&self) -> f64 {
        self.curve.range().1 * self.speed
    }

    /// Half of the largest flow the curve covers at full speed: a fair first guess, m3/s.
    pub(super) fn middle_flow(&self) -> f64 {
        0.5 * self.curve.range().1
    }

    /// Loss (negative: a rise) and slope at `flow_m3_s`; reverse flow meets `reverse_slope`
    /// (Pa s/m3).
    pub fn loss_at(&self, flow_m3_s: f64, reverse_slope: f64) -> Loss {
        if flow_m3_s < 0.0 {
            let closed = -self.weight * self.head(0.0).0;
            let leak = leak(flow_m3_s, reverse_slope);
            return Loss { pa: closed + leak.pa, ..leak };
        }
        let (head, slope) = self.head(flow_m3_s);
        let slope = (-slope).max(self.flat_slope * self.speed.max(LEAST_SPEED));
        Loss { pa: -self.weight * head, slope: self.weight * slope }
    }

    /// d(drop)/d(speed) at `flow_m3_s`, Pa.
    pub fn drop_by_speed(&self, flow_m3_s: f64) -> f64 {
        if let Some(swept_m3_s) = self.swept_m3_s {
            return -self.weight * swept_m3_s * self.slips_m();
        }
        if flow_m3_s < 0.0 || self.speed <= 0.0 {
            return -self.weight * 2.0 * self.speed * self.shut_off_head;
        }
        // H = r^2 h(q/r): dH/dr = 2 r h - q h', and r^2 h = H, r h' = dH/dq.
        let (head, slope) = self.head(flow_m3_s);
        -self.weight * (2.0 * head - flow_m3_s * slope) / self.speed
    }

    /// Head against which 1 m3/s slips back in a pump that displaces, m.
    fn slips_m(&self) -> f64 {
        self.shut_off_head / self.curve.range().1
    }

    /// Head, m, and its slope by flow at the present speed for a flow >= 0.
    fn head(&self, flow_m3_s: f64) -> (f64, f64) {
        if let Some(swept_m3_s) = self.swept_m3_s {
            let slips_m = self.slips_m();
            return ((self.speed * swept_m3_s - flow_m3_s) * slips_m, -slips_m);
        }
        let (r, q, end) = (self.speed, flow_m3_s, self.curve.range().1);
        if q <= r * end && r > 0.0 {
            let (head, slope) = self.curve.at(q / r);
            return (r * r * head, r * slope);
        }
        let (head, slope, bend) = self.beyond;
        let over = q - r * end;
        (r * r * head + r * slope * over - bend * over * over, r * slope - 2.0 * bend * over)
    }
}

#[cfg(test)]
mod tests {
    use super::super::law::REVERSE_SLOPE;
    use super::*;
    use crate::fluids::water;
    use crate::plumbing::{Displacement, PumpCurve};
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn law(speed: f64) -> PumpLaw {
        let curve = PumpCurve {
            flow_m3_s: vec![0.0, 0.003, 0.006, 0.009],
            head_m: vec![67.0, 62.0, 47.0, 20.0],
        };
        let (efficiency, npsh_required) = (vec![], vec![]);
        let pump =
            Pump { curve, speed, top_speed: 1.0, efficiency, npsh_required, displacement: None };
        PumpLaw::new(&pump, &water(20.0), speed)
    }

    #[test]
    fn affinity_laws_scale_flow_with_speed_and_head_with_its_square() {
        let (full, slow) = (law(1.0), law(0.7));
        let expected = 0.49 * full.loss_at(0.004, REVERSE_SLOPE).pa;
        assert_relative_eq!(
            slow.loss_at(0.7 * 0.004, REVERSE_SLOPE).pa,
            expected,
            max_relative = 1e-12
        );
    }

    #[test]
    fn what_slips_back_of_a_displaced_flow_goes_by_pressure_alone() {
        let displaces = Displacement { swept_m3: 2e-4, turns_s: 9.0, slip: 0.04, slip_at_pa: 1e6 };
        let water = water(20.0);
        let curve = displaces.curve(water.density_kg_m3 * GRAVITY_M_S2);
        let pump = Pump { displacement: Some(displaces), ..Pump::plain(&[(0.0, 1.0), (1.0, 0.0)]) };
        let pump = Pump { curve, ..pump };
        for (speed, pa) in [(1.0, 1e6), (0.5, 5e5), (1.1, 2e6)] {
            let flow = 1.8e-3 * (speed - 0.04 * pa / 1e6);
            let law = PumpLaw::new(&pump, &water, speed);
            assert_relative_eq!(law.loss_at(flow, REVERSE_SLOPE).pa, -pa, max_relative = 1e-9);
            let (up, down) = (1e-6, PumpLaw::new(&pump, &water, speed - 1e-6));
            let by_speed =
                (law.loss_at(flow, REVERSE_SLOPE).pa - down.loss_at(flow, REVERSE_SLOPE).pa) / up;
            assert_relative_eq!(law.drop_by_speed(flow), by_speed, max_relative = 1e-5);
        }
    }

    #[test]
    fn curve_goes_on_smoothly_beyond_its_last_point() {
        let (below, above) = (
            law(1.0).loss_at(0.009 - 1e-10, REVERSE_SLOPE),
            law(1.0).loss_at(0.009 + 1e-10, REVERSE_SLOPE),
        );
        assert_relative_eq!(below.pa, above.pa, max_relative = 1e-5);
        assert_relative_eq!(below.slope, above.slope, max_relative = 1e-4);
    }

    #[test]
    fn a_standing_pump_only_resists() {
        assert!(law(0.0).loss_at(0.001, REVERSE_SLOPE).pa > 0.0);
    }

    proptest! {
        #[test]
        fn slopes_match_central_differences(q in 1e-4f64..0.012, speed in 0.3f64..1.2) {
            let step = 1e-9;
            let loss_pa = |q: f64, speed: f64| law(speed).loss_at(q, REVERSE_SLOPE).pa;
            let by_flow = (loss_pa(q + step, speed) - loss_pa(q - step, speed)) / (2.0 * step);
            prop_assert!((law(speed).loss_at(q, REVERSE_SLOPE).slope - by_flow).abs() < 1e-3 * by_flow.abs() + 1e4);
            let step = 1e-6;
            let by_speed = (loss_pa(q, speed + step) - loss_pa(q, speed - step)) / (2.0 * step);
            prop_assert!((law(speed).drop_by_speed(q) - by_speed).abs() < 1e-3 * by_speed.abs());
        }
    }
}
