//! Which fault explains the readings?
//!
//! The healthy machine of a scenario and every fault of a [`catalogue`], at every place it could be and
//! in any severity, are held against what was read; faults are ranked by how well they explain it for their
//! freedom. [`diagnose`] is the entry point, [`next()`] says what to measure then; `docs/diagnosing.md` tells the criterion and how
//! often it is right.

mod calibrate;
mod candidate;
mod catalogue;
mod common_error;
mod curve;
mod expected;
mod extended;
mod fault;
mod fault_names;
mod fit;
mod groups;
mod machine;
mod model;
mod next;
mod numbers;
mod odd;
mod overlay;
mod pairs;
mod places;
mod priors;
mod rank;
mod simulate;
mod something_else;
mod spreads;
mod template;
mod tolerances;
mod tubes;

pub use calibrate::{Calibration, CalibrationFactor, calibrate};
pub use catalogue::{catalogue, stands_for};
pub use expected::{ExpectedReading, ExpectedState, expected_readings};
pub use fault::{Fault, FaultKind, Spot};
pub use model::{
    Conclusion, Diagnosis, DiagnosisError, Explanation, Fitted, HiddenFault, Odd, ReadingResidual,
    Unreal,
};
pub use next::{Measurement, Rival, next};
pub use overlay::overlaid;
pub use priors::{KIND_PRIORS, KindPrior, PRIOR_SOURCE, Priors, SeverityPrior};
pub use rank::{SURE, diagnose};
pub use simulate::simulate;
pub use spreads::{Off, SPREADS, Spread, UncertainInput, WATER_C};
pub use template::{BlankState, blank_states, template_csv, template_toml, unit_of};
pub use tolerances::{InUse, TipWear, in_use, pressure_of_catch, tip_wear};
