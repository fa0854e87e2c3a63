//! Which fault explains the readings?
//!
//! The healthy machine of a scenario and every fault of a [`catalogue`], at every place it could be and
//! in any severity, are held against what was read; faults are ranked by how well they explain it for their
//! freedom. [`diagnose`] is the entry point, [`next()`] says what to measure then; `docs/diagnosing.md` tells the criterion and how
//! often it is right.

mod calibrate;
mod candidate;
mod catalogue;
mod expected;
mod fault;
mod fault_names;
mod fit;
mod machine;
mod model;
mod next;
mod pairs;
mod places;
mod rank;
mod severity;
mod simulate;
mod spreads;
mod template;
mod tolerances;

pub use calibrate::{Calibration, CalibrationFactor, calibrate, overlaid};
pub use catalogue::catalogue;
pub use expected::{ExpectedReading, ExpectedState, expected_readings};
pub use fault::{Fault, FaultKind, Spot};
pub use model::{Diagnosis, DiagnosisError, Explanation, Fitted, ReadingResidual, Unreal};
pub use next::{Measurement, next};
pub use rank::diagnose;
pub use severity::{SeverityRange, severity_range};
pub use simulate::simulate;
pub use spreads::{Off, SPREADS, Spread, UncertainInput, WATER_C};
pub use template::{BlankState, blank_states, template_csv, template_toml, unit_of};
pub use tolerances::{InUse, TipWear, in_use, pressure_of_catch, tip_wear};
