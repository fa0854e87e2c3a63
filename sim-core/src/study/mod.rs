//! How far may a result be off, what is the chance that a limit is met, and which inputs does that hang on?
//!
//! [`Uncertain`] is a scenario whose inputs are known only about so; [`Uncertain::study`] runs it at the points of a [`SamplePlan`]
//! and comes to an [`Uncertainty`]: bands, chances, effects of inputs. The mathematics stands alone in [`effects()`], [`quantile`]
//! and [`Chance`].

mod drawn;
mod effects;
mod inputs;
mod law;
mod outcome;
mod points;
mod spread;
mod uncertain;
mod uncertainty;

pub use drawn::{DrawnInput, Reread};
pub use effects::{Effect, effects};
pub use inputs::{InputSpread, default_inputs};
pub use outcome::{JudgedLimit, RunOutcome};
pub use points::SamplePlan;
pub(crate) use points::sobol;
pub use spread::{BAND_FROM, BAND_TO, Chance, quantile};
pub use uncertain::{RunOne, Uncertain};
pub use uncertainty::{LimitChance, MeasureBand, Uncertainty};
