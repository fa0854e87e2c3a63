//! Readings laid beside a machine, and severities of faults fitted to them.

use super::catalogue::caught;
use super::common_error::{self, Whitening};
use super::fault::Fault;
use super::machine::InstrumentedMachine;
use super::model::{DiagnosisError, ReadingResidual};
use super::numbers::square;
use super::priors::{Priors, SeverityPrior};
use crate::hydraulics::{FlowState, Solver};
use crate::plumbing::{Plumbing, TipId};
use crate::scenario::{Accuracy, Reading, ReadingPlace, Readings, Scenario};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{DMatrix, DVector, Dyn};
use std::borrow::Cow;

/// Smallest uncertainty of a pressure, Pa: what a needle's width hides.
const LEAST_PRESSURE_PA: f64 = 1000.0;
/// Smallest uncertainty of a flow, m3/s (0.01 L/min).
const LEAST_FLOW_M3_S: f64 = 1e-5 / 60.0;
/// Smallest uncertainty of a speed, as a share of full speed.
const LEAST_SPEED: f64 = 0.002;
/// Step of a standard score for the derivative.
const STEP: f64 = 1e-2;
/// Evaluations a fit may take for each severity and one more.
const PATIENCE: usize = 6;
/// What each reading is counted off by, in its accuracy, where severities have no solution: more than any reading is.
const NO_SOLUTION: f64 = 1e6;
/// Relative change of the sum of squares, and of severities, at which a fit has settled.
const SETTLED: f64 = 1e-5;

/// Readings laid beside a scenario, ready to hold machines against.
#[derive(Debug)]
pub(super) struct Bench<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) readings: &'a Readings,
    pub(super) priors: Priors,
    pub(super) caught: Vec<TipId>,
    /// The scenario's plumbing with the ways that faults may open.
    plumbing: &'a Plumbing,
    /// A solver at the healthy machine's state of flow, state by state.
    near: Vec<Solver<'a>>,
    /// The healthy machine's state of flow, state by state.
    pub(super) healthy: Vec<FlowState>,
    /// Readings in the order of the file, as the healthy machine leaves them.
    pub(super) residuals: Vec<ReadingResidual>,
    /// Accuracy of each reading without what errors of the model have in common, SI.
    pub(super) own_sigma: Vec<f64>,
    whitening: Whitening,
}

/// Faults with severities that fit best.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    /// Standard scores, among the severities of their kinds, of the faults that have one, in their order.
    pub(super) scores: Vec<f64>,
    /// Sum of squares of what is left of the readings over accuracy.
    pub(super) misfit: f64,
    /// What would be read.
    pub(super) predicted: Vec<f64>,
}

impl Fit {
    /// Misfit, and the squares of the scores: what a fit makes least.
    pub(super) fn objective(&self) -> f64 {
        self.misfit + self.scores.iter().map(|z| z * z).sum::<f64>()
    }
}

impl<'a> Bench<'a> {
    /// `readings` beside the machine of `scenario`, whose plumbing is extended to `plumbing`.
    pub(super) fn new(
        scenario: &'a Scenario,
        plumbing: &'a Plumbing,
        readings: &'a Readings,
    ) -> Result<Self, DiagnosisError> {
        let machine = InstrumentedMachine::on(scenario, Cow::Borrowed(plumbing));
        let mut solver = Solver::new(plumbing, &scenario.course.liquid, scenario.course.model);
        let (mut near, mut healthy, mut residuals) = (Vec::new(), Vec::new(), Vec::new());
        for (i, state) in readings.states.iter().enumerate() {
            let instant = machine.run_one(&mut solver, state);
            let name = state.name.clone();
            let instant =
                instant.map_err(|source| DiagnosisError::Unsolved { state: name, source })?;
            for reading in &state.readings {
                let modelled = machine.reading(reading.place, &instant, state);
                let sigma = sigma(reading, modelled, readings.model_accuracy);
                let (place, read) = (reading.place, reading.value);
                residuals.push(ReadingResidual { state: i, place, read, modelled, sigma });
            }
            near.push(solver.clone());
            healthy.push(instant);
        }
        let own_sigma: Vec<f64> = residuals.iter().map(|r: &ReadingResidual| r.sigma).collect();
        let whitening = in_common(scenario, readings, &residuals);
        let deviations = whitening.deviations();
        residuals.iter_mut().zip(&deviations).for_each(|(r, deviation)| r.sigma *= deviation);
        let (caught, priors) = (caught(readings), Priors::with(&readings.prior));
        Ok(Self {
            scenario,
            readings,
            priors,
            caught,
            plumbing,
            near,
            healthy,
            residuals,
            own_sigma,
            whitening,
        })
    }

    /// Number of readings.
    pub(super) fn count(&self) -> usize {
        self.residuals.len()
    }

    /// The severity priors of those of `faults` that have one.
    pub(super) fn severity_priors(&self, faults: &[Fault]) -> Vec<SeverityPrior> {
        faults.iter().filter_map(|fault| self.priors.severity(fault.kind).copied()).collect()
    }

    /// `faults` with severities of standard scores `scores`; 1 for those that have none.
    pub(super) fn severities(&self, faults: &[Fault], scores: &[f64]) -> Vec<(Fault, f64)> {
        let mut left = scores.iter();
        let severity = |fault: &Fault| {
            let prior = self.priors.severity(fault.kind);
            prior.and_then(|prior| Some(prior.at(*left.next()?))).unwrap_or(1.0)
        };
        faults.iter().copied().zip(faults.iter().map(severity).collect::<Vec<_>>()).collect()
    }

    /// The machine with `faults` of severities of standard scores `scores`.
    pub(super) fn machine(&self, faults: &[Fault], scores: &[f64]) -> InstrumentedMachine<'a> {
        let sized = self.severities(faults, scores);
        let machine = InstrumentedMachine::on(self.scenario, Cow::Borrowed(self.plumbing));
        machine.with(&sized, &self.caught, &self.readings.states)
    }

    /// The state of flow of `machine`, which has `faults`, in each state; `None` where it has none.
    pub(super) fn run(
        &self,
        machine: &InstrumentedMachine<'_>,
        faults: &[Fault],
    ) -> Option<Vec<FlowState>> {
        if machine.flows_differ {
            machine.run_changed(faults, &self.healthy, &self.near, &self.readings.states).ok()
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

    /// What the machine with `faults` of standard scores `scores` would give; `None` where it has no state of flow.
    pub(super) fn predicted(&self, faults: &[Fault], scores: &[f64]) -> Option<Vec<f64>> {
        let machine = self.machine(faults, scores);
        let instants = self.run(&machine, faults)?;
        Some(self.predict(&machine, &instants))
    }

    /// `differences` of the readings, SI, over their accuracy and without what errors of the model have in common.
    fn white(&self, differences: impl Iterator<Item = f64>) -> Vec<f64> {
        let scaled = differences.zip(&self.own_sigma).map(|(difference, sigma)| difference / sigma);
        self.whitening.apply(scaled.collect())
    }

    /// The differences, SI, that [`Self::white`] turns into `white`.
    pub(super) fn differences(&self, white: &[f64]) -> Vec<f64> {
        let scaled = self.whitening.undo(white);
        scaled.iter().zip(&self.own_sigma).map(|(scaled, sigma)| scaled * sigma).collect()
    }

    /// Sum of squares of what `predicted` leaves over accuracy.
    pub(super) fn misfit(&self, predicted: &[f64]) -> f64 {
        square(&self.left(predicted))
    }

    /// What `predicted` leaves of the readings, in accuracies.
    fn left(&self, predicted: &[f64]) -> Vec<f64> {
        self.white(self.residuals.iter().zip(predicted).map(|(r, p)| r.read - p))
    }

    /// How far `predicted` is from the healthy machine, reading by reading, in accuracies.
    pub(super) fn moved(&self, predicted: &[f64]) -> Vec<f64> {
        self.white(self.residuals.iter().zip(predicted).map(|(r, p)| p - r.modelled))
    }

    /// How far the readings are from the healthy machine, in accuracies.
    pub(super) fn target(&self) -> Vec<f64> {
        self.white(self.residuals.iter().map(|r| r.read - r.modelled))
    }

    /// Distance of two machines as these readings see them: root of the sum of squares over accuracy.
    pub(super) fn distance(&self, a: &[f64], b: &[f64]) -> f64 {
        square(&self.white(a.iter().zip(b).map(|(a, b)| a - b))).sqrt()
    }

    /// `faults` fitted from `start`, each severity held as firmly as it is known beforehand; the start itself where nothing
    /// better is found.
    pub(super) fn fit(&self, faults: &[Fault], start: &Fit) -> Fit {
        if start.scores.is_empty() {
            return start.clone();
        }
        let problem = FaultProblem {
            bench: self,
            faults,
            scores: DVector::from_vec(start.scores.clone()),
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

    /// Derivatives of the scaled readings by the standard scores.
    pub(super) fn slopes(&self, faults: &[Fault], fit: &Fit) -> Option<DMatrix<f64>> {
        let mut slopes = DMatrix::zeros(self.count(), fit.scores.len());
        for column in 0..fit.scores.len() {
            let mut moved = fit.scores.clone();
            moved[column] += STEP;
            let predicted = self.predicted(faults, &moved)?;
            let rows = predicted.iter().zip(&fit.predicted);
            let change = self.white(rows.map(|(there, here)| (there - here) / STEP));
            slopes.set_column(column, &DVector::from_vec(change));
        }
        Some(slopes)
    }
}

/// What errors of the model have in common in `residuals`, whose accuracies are without it.
fn in_common(scenario: &Scenario, readings: &Readings, residuals: &[ReadingResidual]) -> Whitening {
    let off = common_error::off(scenario, readings.model_accuracy);
    let column = |machine: InstrumentedMachine<'_>| {
        let instants = machine.run(&readings.states).ok()?;
        let one = |r: &ReadingResidual| {
            let state = &readings.states[r.state];
            (machine.reading(r.place, &instants[r.state], state) - r.modelled) / r.sigma
        };
        Some(residuals.iter().map(one).collect())
    };
    let columns: Vec<Vec<f64>> =
        common_error::machines(&off).into_iter().filter_map(column).collect();
    Whitening::of(residuals.len(), &columns)
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

/// The least-squares problem of some faults: readings over accuracy, then the standard scores.
struct FaultProblem<'b, 'a> {
    bench: &'b Bench<'a>,
    faults: &'b [Fault],
    scores: DVector<f64>,
    predicted: Option<Vec<f64>>,
    /// The best severities met: a fit may end at severities that have no solution.
    best: Fit,
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for FaultProblem<'_, '_> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, scores: &DVector<f64>) {
        self.scores.copy_from(scores);
        self.predicted = self.bench.predicted(self.faults, scores.as_slice());
        let Some(predicted) = &self.predicted else { return };
        let (scores, misfit) = (scores.as_slice().to_vec(), self.bench.misfit(predicted));
        let fit = Fit { scores, misfit, predicted: predicted.clone() };
        if fit.objective() < self.best.objective() {
            self.best = fit;
        }
    }

    fn params(&self) -> DVector<f64> {
        self.scores.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let rows = self.bench.count() + self.scores.len();
        let Some(predicted) = &self.predicted else {
            // A step to severities that have no solution is taken back and shortened, as any that fits badly.
            return Some(DVector::repeat(rows, NO_SOLUTION));
        };
        let left = self.bench.left(predicted).into_iter().map(|left| -left);
        Some(DVector::from_iterator(rows, left.chain(self.scores.iter().copied())))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let predicted = self.predicted.clone()?;
        let fit = Fit { scores: self.scores.as_slice().to_vec(), misfit: 0.0, predicted };
        let slopes = self.bench.slopes(self.faults, &fit)?;
        let free = self.scores.len();
        let mut all = slopes.resize_vertically(self.bench.count() + free, 0.0);
        (0..free).for_each(|i| all[(self.bench.count() + i, i)] = 1.0);
        Some(all)
    }
}
