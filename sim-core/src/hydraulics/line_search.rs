//! How far a step in flow may go: to where the convex function it descends turns upward.

use super::circuit::Circuit;
use super::newton::Newton;

/// A shortened step is searched this often at most.
const MOST_TRIALS: u32 = 12;
/// Part of the old downhill slope that may be left, uphill, after a step.
const UPHILL: f64 = 0.5;

impl Newton {
    /// Takes the step in flow, shortened where the convex function has turned upward.
    pub(super) fn take_step(&mut self, circuit: &Circuit) {
        let downhill: f64 = self
            .step
            .iter()
            .zip(&self.conductance)
            .map(|(d, e)| if *e > 0.0 { d * d / e } else { 0.0 })
            .sum();
        let (mut low, mut high) = ((0.0, -downhill), (1.0, f64::INFINITY));
        let mut share = 1.0;
        for trial in 0..MOST_TRIALS {
            let rising = self.rise_at(circuit, share);
            let settled = rising.abs() <= UPHILL * downhill || (share == 1.0 && rising < 0.0);
            if settled || trial + 1 == MOST_TRIALS {
                break;
            }
            self.statistics.shortened += u32::from(trial == 0);
            if rising <= 0.0 {
                low = (share, rising);
            } else {
                high = (share, if rising.is_nan() { f64::INFINITY } else { rising });
            }
            let secant = low.0 - low.1 * (high.0 - low.0) / (high.1 - low.1);
            let (near, far) = (0.1 * high.0 + 0.9 * low.0, 0.9 * high.0 + 0.1 * low.0);
            // Figures that are none any more end as an error that is no number, which stops the iteration.
            share = if secant.is_finite() { secant.clamp(near, far) } else { 0.5 * (near + far) };
        }
        std::mem::swap(&mut self.flow, &mut self.trial);
    }

    /// Derivative of the convex function along the step at `share` of it. Leaves flows in `trial`
    /// and drops and slopes there in `drop` and `slope`.
    fn rise_at(&mut self, circuit: &Circuit, share: f64) -> f64 {
        let mut rise = 0.0;
        for k in 0..self.open.len() {
            let i = self.open[k];
            let flow = self.flow[i] + share * self.step[i];
            self.trial[i] = flow;
            let loss = self.loss_of(circuit, i, flow);
            (self.drop[i], self.slope[i]) = (loss.pa, loss.slope);
            rise -= self.step[i] * self.unused(circuit, i);
        }
        rise
    }
}
