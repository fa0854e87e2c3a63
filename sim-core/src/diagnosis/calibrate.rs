//! Fits roughness and loss coefficients of a healthy machine to readings of it.

use super::extended::extended;
use super::fit::Bench;
use super::machine::InstrumentedMachine;
use super::model::DiagnosisError;
use super::numbers::chance;
use super::overlay::overlaid;
use super::spreads::{SPREADS, Spread, UncertainInput};
use crate::scenario::{Overlay, Readings, Scenario};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{DMatrix, DVector, Dyn};
use std::sync::LazyLock;

/// Number of factors.
const FACTORS: usize = 6;
/// The inputs behind the factors, in their order.
const INPUTS: [UncertainInput; FACTORS] = [
    UncertainInput::Roughness,
    UncertainInput::SuctionLosses,
    UncertainInput::MainLosses,
    UncertainInput::HoseLosses,
    UncertainInput::ReturnLosses,
    UncertainInput::PartLosses,
];
/// Uncertainty beforehand of the logarithm of each factor, in their order: that of the spreads behind the bands of papers.
static UNCERTAINTY: LazyLock<[f64; FACTORS]> = LazyLock::new(|| {
    INPUTS.map(|input| {
        let spread = SPREADS.iter().find(|spread| spread.input == input);
        spread.map_or(1.0, Spread::log_deviation)
    })
});
/// Step of the logarithm of a factor for the derivative.
const STEP: f64 = 1e-3;
/// Relative change at which the fit has settled.
const SETTLED: f64 = 1e-6;
/// Uncertainties beforehand from which a factor is at the edge of what it can be: about one in ten beyond, both ends together.
const EDGE: f64 = 1.645;
/// Share of the uncertainty beforehand below which the readings constrain a factor.
const CONSTRAINED: f64 = 0.7;

/// Factors found from readings of a healthy machine.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// The factors but for those that are suspected of a fault, which stay 1.
    pub overlay: Overlay,
    /// Each factor by name, in the order of the overlay.
    pub factors: Vec<CalibrationFactor>,
    /// Sum of squared residuals over accuracy before.
    pub misfit_before: f64,
    /// The same with the factors.
    pub misfit: f64,
    /// Number of readings.
    pub count: usize,
    /// Probability of a misfit as large or larger, were the machine healthy and the factors right.
    pub chance_of_misfit: f64,
}

/// One factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CalibrationFactor {
    /// Its key in an overlay file.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// Factor by which it may be off either way (one standard deviation).
    pub within: f64,
    /// Whether the readings constrain it; if not, it stays near 1.
    pub constrained: bool,
    /// Whether it is at the edge of what such a figure can be: a fault is more likely than a figure so far off.
    pub suspected: bool,
}

/// Finds the factors that bring the healthy machine of `scenario` closest to `readings`, each held near 1 as firmly as such
/// figures are known beforehand.
///
/// # Errors
/// A [`DiagnosisError`] where the healthy machine has no solution.
pub fn calibrate(scenario: &Scenario, readings: &Readings) -> Result<Calibration, DiagnosisError> {
    let plumbing = extended(&scenario.machine.plumbing);
    let bench = Bench::new(scenario, &plumbing, readings)?;
    let count = bench.residuals.len();
    let healthy: Vec<f64> = bench.residuals.iter().map(|r| r.modelled).collect();
    let misfit_before = misfit(&bench, &healthy);
    let start = CalibrationProblem {
        bench: &bench,
        logs: DVector::zeros(FACTORS),
        predicted: Some(healthy),
    };
    let solver = LevenbergMarquardt::new().with_ftol(SETTLED).with_xtol(SETTLED).with_patience(20);
    let (problem, _) = solver.minimize(start);
    let predicted = problem.predicted.clone().unwrap_or_default();
    let spread = problem.jacobian().and_then(|j| j.tr_mul(&j).try_inverse());
    let names = [
        "roughness",
        "suction_losses",
        "main_losses",
        "hose_losses",
        "return_losses",
        "part_losses",
    ];
    let factor = |(i, name): (usize, &'static str)| {
        let uncertainty =
            spread.as_ref().map_or(UNCERTAINTY[i], |inverse| inverse[(i, i)].max(0.0).sqrt());
        let (value, within) = (problem.logs[i].exp(), uncertainty.exp());
        CalibrationFactor {
            name,
            value,
            within,
            constrained: uncertainty < CONSTRAINED * UNCERTAINTY[i],
            suspected: problem.logs[i].abs() > EDGE * UNCERTAINTY[i],
        }
    };
    let factors: Vec<CalibrationFactor> = names.into_iter().enumerate().map(factor).collect();
    let kept = factors.iter().map(|factor| if factor.suspected { 0.0 } else { factor.value.ln() });
    let kept = DVector::from_iterator(FACTORS, kept);
    let misfit = misfit(&bench, &predicted);
    let constrained = factors.iter().filter(|factor| factor.constrained).count();
    Ok(Calibration {
        overlay: overlay(&kept),
        factors,
        misfit_before,
        misfit,
        count,
        chance_of_misfit: chance(misfit, count.saturating_sub(constrained)),
    })
}

fn overlay(logs: &DVector<f64>) -> Overlay {
    Overlay {
        roughness: logs[0].exp(),
        suction_losses: logs[1].exp(),
        main_losses: logs[2].exp(),
        hose_losses: logs[3].exp(),
        return_losses: logs[4].exp(),
        part_losses: logs[5].exp(),
    }
}

/// What `predicted` is off the readings by, in their accuracy without what the factors themselves are off by.
fn left<'p>(bench: &'p Bench<'_>, predicted: &'p [f64]) -> impl Iterator<Item = f64> + 'p {
    let pairs = bench.residuals.iter().zip(predicted).zip(&bench.own_sigma);
    pairs.map(|((r, p), sigma)| (p - r.read) / sigma)
}

fn misfit(bench: &Bench<'_>, predicted: &[f64]) -> f64 {
    left(bench, predicted).map(|left| left * left).sum()
}

/// Readings and what is known beforehand, as one least-squares problem in the logarithms of the factors.
struct CalibrationProblem<'b, 'a> {
    bench: &'b Bench<'a>,
    logs: DVector<f64>,
    predicted: Option<Vec<f64>>,
}

impl CalibrationProblem<'_, '_> {
    fn predict(&self, logs: &DVector<f64>) -> Option<Vec<f64>> {
        let scenario = overlaid(self.bench.scenario, &overlay(logs));
        let machine = InstrumentedMachine::healthy(&scenario);
        let instants = machine.run(&self.bench.readings.states).ok()?;
        Some(self.bench.predict(&machine, &instants))
    }

    fn rows(&self, predicted: &[f64], logs: &DVector<f64>) -> DVector<f64> {
        let read = left(self.bench, predicted);
        let known = logs.iter().zip(*UNCERTAINTY).map(|(log, uncertainty)| log / uncertainty);
        DVector::from_iterator(predicted.len() + FACTORS, read.chain(known))
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for CalibrationProblem<'_, '_> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, logs: &DVector<f64>) {
        self.logs.copy_from(logs);
        self.predicted = self.predict(logs);
    }

    fn params(&self) -> DVector<f64> {
        self.logs.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        Some(self.rows(self.predicted.as_ref()?, &self.logs))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let here = self.residuals()?;
        let mut slopes = DMatrix::zeros(here.len(), FACTORS);
        for column in 0..FACTORS {
            let mut moved = self.logs.clone();
            moved[column] += STEP;
            let there = self.rows(&self.predict(&moved)?, &moved);
            slopes.set_column(column, &((there - &here) / STEP));
        }
        Some(slopes)
    }
}
