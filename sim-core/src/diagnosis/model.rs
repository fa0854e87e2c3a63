//! What a diagnosis says.

use super::fault::Fault;
use crate::hydraulics::{FlowState, SolveError};
use crate::scenario::ReadingPlace;

/// Why a machine has no state of flow to trust.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unreal {
    /// The solver finds none.
    #[error(transparent)]
    Unsolved(#[from] SolveError),
    /// The pressure falls below that of vapour somewhere, and the pump would lose its prime.
    #[error("the liquid would boil on the suction side and the pump lose its prime")]
    Boils,
}

/// Why there is no diagnosis.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DiagnosisError {
    /// The healthy machine has no solution in a state of the readings.
    #[error("the healthy machine has no solution in the state \"{state}\": {source}")]
    Unsolved {
        /// Name of the state.
        state: String,
        /// What the solver says.
        source: Unreal,
    },
}

/// Readings held against a machine and its faults.
#[derive(Clone, Debug)]
pub struct Diagnosis {
    /// Number of readings.
    pub count: usize,
    /// The healthy machine's state of flow in each state of the readings.
    pub healthy: Vec<FlowState>,
    /// The healthy machine's readings.
    pub healthy_readings: Vec<ReadingResidual>,
    /// What the readings say.
    pub conclusion: Conclusion,
    /// Explanations, group after group, the most probable group first and within a group the most probable explanation; the
    /// healthy machine is one of them.
    pub explanations: Vec<Explanation>,
    /// Probability of each group of explanations that these readings cannot tell apart.
    pub groups: Vec<f64>,
    /// Probability of something that is not in the catalogue, or of a wrong reading.
    pub something_else: f64,
    /// Readings without which the rest is explained, where nothing explains them all.
    pub odd: Option<Odd>,
    /// How many candidates were considered.
    pub considered: usize,
    /// Whether the best explanation leaves no more than the readings' accuracy explains.
    pub fits: bool,
    /// Probability of a misfit as large as the best explanation's or larger, were it true.
    pub chance_of_misfit: f64,
    /// Faults that none of the readings would show at any severity.
    pub unseen: Vec<Fault>,
    /// Faults that may be there, too small for the readings to show: within the probability of no fault.
    pub hidden: Vec<HiddenFault>,
}

/// What readings say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Conclusion {
    /// There is no fault that they show.
    NoFault,
    /// The leading group of explanations holds.
    Fault,
    /// Too little to decide.
    Undecided,
    /// Nothing in the catalogue explains them.
    Unexplained,
}

/// Readings without which the rest is explained.
#[derive(Clone, Debug, PartialEq)]
pub struct Odd {
    /// Indices of the readings.
    pub readings: Vec<usize>,
    /// What the others let expect of each, SI.
    pub expected: Vec<f64>,
    /// The usual mistake that makes each of what is expected: a factor, such as 14.5 for psi written as bar.
    pub slip: Option<f64>,
    /// What explains the others, with severities; nothing where the healthy machine does.
    pub faults: Vec<(Fault, f64)>,
}

/// A fault, a pair of faults or none, fitted to the readings.
#[derive(Clone, Debug)]
pub struct Explanation {
    /// The faults with their severities; empty for the healthy machine.
    pub faults: Vec<Fitted>,
    /// Sum of squared residuals over accuracy.
    pub misfit: f64,
    /// Minus twice the logarithm of its weight: see [`super::diagnose`].
    pub score: f64,
    /// Probability among those considered, 0 to 1.
    pub probability: f64,
    /// Explanations of equal number cannot be told apart by these readings; 0 is the leading group.
    pub group: usize,
    /// What would be read, reading by reading.
    pub predicted: Vec<f64>,
    /// State of flow in each state of the readings.
    pub instants: Vec<FlowState>,
}

/// A fault and its severity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// The fault.
    pub fault: Fault,
    /// Its severity; [`super::KIND_PRIORS`] says what it means. 1 where a fault is there or not.
    pub severity: f64,
    /// Factor by which the severity may be off either way (one standard deviation), >= 1; infinite where the
    /// readings do not bound it.
    pub severity_factor: f64,
}

/// A fault that may be there, too small for the readings to show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HiddenFault {
    /// The fault, of the mean severity that does not show.
    pub fitted: Fitted,
    /// Its probability.
    pub probability: f64,
}

/// A reading beside what a machine would give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingResidual {
    /// Index of the state.
    pub state: usize,
    /// Where.
    pub place: ReadingPlace,
    /// What was read, SI.
    pub read: f64,
    /// What the machine would give, SI.
    pub modelled: f64,
    /// How far the reading may be off, SI: one standard deviation of reading and model together.
    pub sigma: f64,
}

impl ReadingResidual {
    /// Difference over accuracy.
    pub fn scaled(&self) -> f64 {
        (self.read - self.modelled) / self.sigma
    }
}

impl Explanation {
    /// Whether it is the healthy machine.
    pub fn is_healthy(&self) -> bool {
        self.faults.is_empty()
    }
}
