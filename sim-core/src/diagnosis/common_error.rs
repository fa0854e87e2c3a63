//! What readings have in common because the scenario is a little off: losses that are larger or smaller than stated move many
//! readings together, and full flow more than a little.

use super::machine::InstrumentedMachine;
use super::overlay::overlaid;
use crate::scenario::{Overlay, Scenario};
use nalgebra::{DMatrix, DVector};

/// Accuracy of the model at which losses are off as [`LOSSES`] and [`ROUGHNESS`] say, as a share.
const USUAL_MODEL: f64 = 0.01;
/// One standard deviation of the logarithm of wall roughness and of loss coefficients: half of what the spreads of
/// commissioning say of 95 of 100 machines (common practice, no source).
const ROUGHNESS: f64 = 0.55;
const LOSSES: f64 = 0.15;
/// Most that a model is taken to be off beyond the usual.
const MOST: f64 = 2.0;

/// The machine of `scenario` with each kind of loss off by one standard deviation, the model being good to `model_accuracy`.
pub(super) fn off(scenario: &Scenario, model_accuracy: f64) -> Vec<Scenario> {
    let scale = (model_accuracy / USUAL_MODEL).min(MOST);
    if scale <= 0.0 {
        return Vec::new();
    }
    let (rough, loss) = ((scale * ROUGHNESS).exp(), (scale * LOSSES).exp());
    let same = Overlay::default();
    let overlays = [
        Overlay { roughness: rough, ..same },
        Overlay { suction_losses: loss, ..same },
        Overlay { main_losses: loss, ..same },
        Overlay { hose_losses: loss, ..same },
        Overlay { return_losses: loss, ..same },
        Overlay { part_losses: loss, ..same },
    ];
    overlays.iter().map(|overlay| overlaid(scenario, overlay)).collect()
}

/// The machines of `scenarios`, healthy.
pub(super) fn machines(scenarios: &[Scenario]) -> Vec<InstrumentedMachine<'_>> {
    scenarios.iter().map(InstrumentedMachine::healthy).collect()
}

/// Turns readings that have errors in common, of one accuracy each beside them, into as many that have none.
#[derive(Clone, Debug)]
pub(super) struct Whitening {
    /// Cholesky factor of the covariance.
    lower: DMatrix<f64>,
}

impl Whitening {
    /// For `count` readings, each with an error of its own of standard deviation 1, and errors in common that move them by
    /// `columns`, one standard deviation each.
    pub(super) fn of(count: usize, columns: &[Vec<f64>]) -> Self {
        let mut covariance = DMatrix::identity(count, count);
        for column in columns {
            let column = DVector::from_column_slice(column);
            covariance += &column * column.transpose();
        }
        // One plus squares is positive definite; figures that are none leave readings as they are.
        let lower = covariance.cholesky().map(|cholesky| cholesky.l());
        Self { lower: lower.unwrap_or_else(|| DMatrix::identity(count, count)) }
    }

    /// `differences` without what they have in common.
    pub(super) fn apply(&self, mut differences: Vec<f64>) -> Vec<f64> {
        for i in 0..differences.len() {
            let known: f64 = (0..i).map(|j| self.lower[(i, j)] * differences[j]).sum();
            differences[i] = (differences[i] - known) / self.lower[(i, i)];
        }
        differences
    }

    /// The differences that [`Self::apply`] turns into `white`.
    pub(super) fn undo(&self, white: &[f64]) -> Vec<f64> {
        let row = |i: usize| (0..=i).map(|j| self.lower[(i, j)] * white[j]).sum();
        (0..white.len()).map(row).collect()
    }

    /// Standard deviation of each reading, its own error and those in common together.
    pub(super) fn deviations(&self) -> Vec<f64> {
        (0..self.lower.nrows()).map(|i| self.lower.row(i).norm()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn what_is_left_of_readings_weighs_by_the_inverse_of_their_covariance() {
        let columns = [vec![1.0, 2.0, -0.5], vec![0.3, 0.0, 4.0]];
        let whitening = Whitening::of(3, &columns);
        let d = DVector::from_column_slice(&[1.5, -2.0, 0.7]);
        let c = columns.map(|column| DVector::from_column_slice(&column));
        let covariance =
            DMatrix::identity(3, 3) + &c[0] * c[0].transpose() + &c[1] * c[1].transpose();
        let expected = d.dot(&(covariance.clone().try_inverse().unwrap() * &d));
        let white = whitening.apply(d.as_slice().to_vec());
        assert_relative_eq!(
            white.iter().map(|w| w * w).sum::<f64>(),
            expected,
            max_relative = 1e-12
        );
        assert_relative_eq!(whitening.undo(&white)[..], d.as_slice()[..], max_relative = 1e-12);
        assert_relative_eq!(
            whitening.deviations()[2],
            covariance[(2, 2)].sqrt(),
            max_relative = 1e-12
        );
    }
}
