//! Fits the severities of faults to the readings by least squares.

use super::catalogue::caught;
use super::fault::Fault;
use super::machine::InstrumentedMachine;
use super::model::{DiagnosisError, ReadingResidual};
use super::severity::{SeverityRange, severity_range};
use crate::hydraulics::FlowState;
use crate::plumbing::TipId;
use crate::scenario::{Accuracy, Reading, ReadingPlace, Readings, Scenario};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{DMatrix, DVector, Dyn};

/// Smallest uncertainty of a pressure, Pa: what a needle's width hides.
const LEAST_PRESSURE_PA: f64 = 1000.0;
/// Smallest uncertainty of a flow, m3/s (0.01 L/min).
const LEAST_FLOW_M3_S: f64 = 1e-5 / 60.0;
/// Smallest uncertainty of a speed, as a share of full speed.
const LEAST_SPEED: f64 = 0.002;
/// Step of the logarithm of a severity for the derivative.
const STEP: f64 = 1e-3;
/// Evaluations a fit may take for each severity and one more.
const PATIENCE: usize = 12;
/// What each reading is counted off by, in its accuracy, where severities have no solution: more than any reading is.
const NO_SOLUTION: f64 = 1e6;
/// Relative change of the sum of squares, and of severities, at which a fit has settled.
const SETTLED: f64 = 1e-5;

/// Readings laid beside a scenario, ready to hold machines against.
#[derive(Debug)]
pub(super) struct Bench<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) readings: &'a Readings,
    pub(super) caught: Vec<TipId>,
    /// The healthy machine's state of flow, state by state.
    pub(super) healthy: Vec<FlowState>,
    /// Readings in the order of the file, as the healthy machine leaves them.
    pub(super) residuals: Vec<ReadingResidual>,
}

/// Faults with severities that fit best.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    /// Logarithms of the severities of the faults that have one, in their order.
    pub(super) log_severities: Vec<f64>,
    pub(super) misfit: f64,
    pub(super) predicted: Vec<f64>,
}

impl<'a> Bench<'a> {
    pub(super) fn new(
        scenario: &'a Scenario,
        readings: &'a Readings,
    ) -> Result<Self, DiagnosisError> {
        let machine = InstrumentedMachine::healthy(scenario);
        let mut healthy = Vec::new();
        for state in &readings.states {
            let one = machine.run(std::slice::from_ref(state));
            let name = state.name.clone();
            let one = one.map_err(|source| DiagnosisError::Unsolved { state: name, source })?;
            healthy.extend(one);
        }
        let mut residuals = Vec::new();
        for (i, (state, instant)) in readings.states.iter().zip(&healthy).enumerate() {
            for reading in &state.readings {
                let modelled = machine.reading(reading.place, instant, state);
                let sigma = sigma(reading, modelled, readings.model_accuracy);
                let (place, read) = (reading.place, reading.value);
                residuals.push(ReadingResidual { state: i, place, read, modelled, sigma });
            }
        }
        let caught = caught(readings);
        Ok(Self { scenario, readings, caught, healthy, residuals })
    }

    /// The machine with `faults` of severities whose logarithms are given, each within its range.
    pub(super) fn machine(
        &self,
        faults: &[Fault],
        log_severities: &[f64],
    ) -> InstrumentedMachine<'a> {
        let sized: Vec<(Fault, f64)> = severities(faults, log_severities);
        InstrumentedMachine::with(self.scenario, &sized, &self.caught, &self.readings.states)
    }

    /// The state of flow of `machine` in each state; `None` where it has none.
    pub(super) fn run(&self, machine: &InstrumentedMachine<'_>) -> Option<Vec<FlowState>> {
        if machine.flows_differ {
            machine.run(&self.readings.states).ok()
        } else {
            Some(self.healthy.clone())
        }
    }

    /// What `machine` would give for each reading, standing as `instants` say.
    pub(super) fn predict(
        &self,
        machine: &InstrumentedMachine<'_>,
        instants: &[FlowState],
    ) -> Vec<f64> {
        let one = |r: &ReadingResidual| {
            machine.reading(r.place, &instants[r.state], &self.readings.states[r.state])
        };
        self.residuals.iter().map(one).collect()
    }

    fn predicted(&self, faults: &[Fault], log_severities: &[f64]) -> Option<Vec<f64>> {
        let machine = self.machine(faults, log_severities);
        let instants = self.run(&machine)?;
        Some(self.predict(&machine, &instants))
    }

    /// Sum of squares of what `predicted` leaves over accuracy.
    pub(super) fn misfit(&self, predicted: &[f64]) -> f64 {
        let pairs = self.residuals.iter().zip(predicted);
        pairs.map(|(r, p)| ((r.read - p) / r.sigma).powi(2)).sum()
    }

    /// Distance of two machines as these readings see them: root of the sum of squares over accuracy.
    pub(super) fn distance(&self, a: &[f64], b: &[f64]) -> f64 {
        let all = self.residuals.iter().zip(a.iter().zip(b));
        all.map(|(r, (a, b))| ((a - b) / r.sigma).powi(2)).sum::<f64>().sqrt()
    }

    /// The best of the severities to try first of a single fault, and how far any of them moves the readings;
    /// `None` where no severity has a solution.
    pub(super) fn screen(&self, fault: Fault) -> Option<(Fit, f64)> {
        let healthy: Vec<f64> = self.residuals.iter().map(|r| r.modelled).collect();
        let tries = severity_range(fault.kind).map_or(&[1.0][..], |range| range.tries);
        let mut best: Option<Fit> = None;
        let mut moved = 0.0f64;
        for severity in tries {
            let log_severities =
                if severity_range(fault.kind).is_some() { vec![severity.ln()] } else { vec![] };
            let Some(predicted) = self.predicted(&[fault], &log_severities) else { continue };
            moved = moved.max(self.distance(&predicted, &healthy));
            let misfit = self.misfit(&predicted);
            if best.as_ref().is_none_or(|best| misfit < best.misfit) {
                best = Some(Fit { log_severities, misfit, predicted });
            }
        }
        best.map(|best| (best, moved))
    }

    /// `faults` fitted from the severities `start`; the start itself where nothing better is found.
    pub(super) fn fit(&self, faults: &[Fault], start: &Fit) -> Fit {
        if start.log_severities.is_empty() {
            return start.clone();
        }
        let problem = FaultProblem {
            bench: self,
            faults,
            log_severities: DVector::from_vec(start.log_severities.clone()),
            predicted: Some(start.predicted.clone()),
            best: start.clone(),
        };
        let solver = LevenbergMarquardt::new()
            .with_ftol(SETTLED)
            .with_xtol(SETTLED)
            .with_stepbound(1.0)
            .with_patience(PATIENCE);
        let (problem, _) = solver.minimize(problem);
        problem.best
    }

    /// Derivatives of the scaled readings by the logarithms of the severities.
    pub(super) fn slopes(&self, faults: &[Fault], fit: &Fit) -> Option<DMatrix<f64>> {
        let mut slopes = DMatrix::zeros(self.residuals.len(), fit.log_severities.len());
        for column in 0..fit.log_severities.len() {
            let mut moved = fit.log_severities.clone();
            moved[column] += STEP;
            let predicted = self.predicted(faults, &moved)?;
            for (row, residual) in self.residuals.iter().enumerate() {
                let change = predicted[row] - fit.predicted[row];
                slopes[(row, column)] = change / STEP / residual.sigma;
            }
        }
        Some(slopes)
    }
}

/// `faults` with their severities, each within its range; 1 for those that have none.
pub(super) fn severities(faults: &[Fault], log_severities: &[f64]) -> Vec<(Fault, f64)> {
    let mut left = within(faults, log_severities).into_iter();
    let severity = |fault: &Fault| match severity_range(fault.kind) {
        Some(_) => left.next().map_or(1.0, f64::exp),
        None => 1.0,
    };
    faults.iter().copied().zip(faults.iter().map(severity).collect::<Vec<_>>()).collect()
}

/// `log_severities` brought within the ranges of `faults`.
fn within(faults: &[Fault], log_severities: &[f64]) -> Vec<f64> {
    let ranges = faults.iter().filter_map(|fault| severity_range(fault.kind));
    let clamp = |(log, range): (&f64, SeverityRange)| log.clamp(range.least.ln(), range.most.ln());
    log_severities.iter().zip(ranges).map(clamp).collect()
}

/// Smallest uncertainty of a reading at `place`, SI: what no instrument of the trade shows.
pub(super) fn least_doubt(place: ReadingPlace) -> f64 {
    match place {
        ReadingPlace::OwnGauge(_) | ReadingPlace::TestGauge(_) => LEAST_PRESSURE_PA,
        ReadingPlace::Catch(_) | ReadingPlace::Meter(_) => LEAST_FLOW_M3_S,
        ReadingPlace::Speed(_) => LEAST_SPEED,
    }
}

/// Uncertainty of a reading: of the reading itself and of the model, taken as independent.
fn sigma(reading: &Reading, modelled: f64, model_accuracy: f64) -> f64 {
    let least = least_doubt(reading.place);
    let own = match reading.accuracy {
        Accuracy::Share(share) => share * reading.value.abs(),
        Accuracy::Absolute(absolute) => absolute,
    };
    let model = model_accuracy * modelled.abs().min(reading.value.abs());
    (own * own + model * model + least * least).sqrt()
}

/// The least-squares problem of some faults.
struct FaultProblem<'b, 'a> {
    bench: &'b Bench<'a>,
    faults: &'b [Fault],
    log_severities: DVector<f64>,
    predicted: Option<Vec<f64>>,
    /// The best severities met: a fit may end at severities that have no solution.
    best: Fit,
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for FaultProblem<'_, '_> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, log_severities: &DVector<f64>) {
        self.log_severities.copy_from(log_severities);
        self.predicted = self.bench.predicted(self.faults, log_severities.as_slice());
        let Some(predicted) = &self.predicted else { return };
        let misfit = self.bench.misfit(predicted);
        if misfit < self.best.misfit {
            let log_severities = within(self.faults, log_severities.as_slice());
            self.best = Fit { log_severities, misfit, predicted: predicted.clone() };
        }
    }

    fn params(&self) -> DVector<f64> {
        self.log_severities.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let Some(predicted) = &self.predicted else {
            // A step to severities that have no solution is taken back and shortened, as any that fits badly.
            return Some(DVector::repeat(self.bench.residuals.len(), NO_SOLUTION));
        };
        let pairs = self.bench.residuals.iter().zip(predicted);
        let scaled = pairs.map(|(r, p)| (p - r.read) / r.sigma);
        Some(DVector::from_iterator(predicted.len(), scaled))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let predicted = self.predicted.clone()?;
        let fit =
            Fit { log_severities: self.log_severities.as_slice().to_vec(), misfit: 0.0, predicted };
        self.bench.slopes(self.faults, &fit)
    }
}
