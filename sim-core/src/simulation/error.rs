//! Why a run gives no result.

use crate::fluids::AbsolutePressure;
use crate::hydraulics::SolveError;
use crate::plumbing::Invalid;
use crate::procedure::Step;

/// Why a run gives no result to trust.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RunError {
    /// Machine or course cannot be computed; those of a scenario that was read from a file can.
    #[error(transparent)]
    Invalid(#[from] Invalid),
    /// A step has no solution.
    #[error("step \"{step}\": {source}")]
    Unsolved {
        /// Name of the step.
        step: String,
        /// What the solver says.
        source: SolveError,
    },
    /// A loop of flow turns over faster than can be followed.
    #[error(
        "step \"{step}\", {after_s:.3} s after the start: liquid goes round in a loop without a tank so fast that \
         moves of {move_s:.0e} s would be needed; lines of hardly any volume in such a loop cannot be followed"
    )]
    TooFast {
        /// Name of the step.
        step: String,
        /// When, s after the run's start.
        after_s: f64,
        /// Longest valid move, s.
        move_s: f64,
    },
    /// A loop of flow holds no liquid.
    #[error(
        "step \"{step}\": liquid goes round in a loop of parts alone, through {place}, in which no line holds any of \
         it; put the line that joins these parts into the scenario, however short it is"
    )]
    NoLineInLoop {
        /// Name of the step.
        step: String,
        /// A part of the loop.
        place: String,
    },
    /// Liquid is lost or made somewhere.
    #[error(
        "step \"{step}\": liquid or product does not balance (by {imbalance:.1e} of what flows)"
    )]
    Unbalanced {
        /// Name of the step.
        step: String,
        /// Largest imbalance over the largest flow.
        imbalance: f64,
    },
    /// Something would hold what it cannot: more liquid than its volume, or product beyond full strength.
    #[error(
        "step \"{step}\", {after_s:.3} s after the start: {place} would hold {held:.9} of its volume at \
         {concentration:.9} of full strength, which cannot be; no figure of this step can be trusted. Lines of hardly \
         any volume beside long ones bring this about: join them to their neighbours"
    )]
    Impossible {
        /// Name of the step.
        step: String,
        /// When, s after the run's start.
        after_s: f64,
        /// Which line, tank or tip.
        place: String,
        /// Liquid over its volume.
        held: f64,
        /// Its concentration.
        concentration: f64,
    },
    /// The liquid would boil: the model of a full line does not hold.
    #[error(
        "step \"{step}\": at {place} the absolute pressure would fall to {:.0} Pa, below \
         the vapour pressure of {liquid} ({:.0} Pa); the liquid would boil there and the \
         pump lose its prime, so no figure of this step can be trusted",
        .absolute.pa,
        .vapour.pa
    )]
    Boils {
        /// Name of the step.
        step: String,
        /// Name of the node with the lowest pressure.
        place: String,
        /// The pressure a full line would need there.
        absolute: AbsolutePressure,
        /// Name of the liquid.
        liquid: String,
        /// Its vapour pressure.
        vapour: AbsolutePressure,
    },
    /// A column of liquid stays parted: flows around the cavity are no longer those of full lines.
    #[error(
        "step \"{step}\", {after_s:.3} s after its start: at {place} the absolute pressure would be {:.0} Pa, below the \
         vapour pressure of {liquid} ({:.0} Pa), for more than a second on end; the column of liquid parts there, and no \
         figure after that can be trusted. A longer `ramp`, or more pressure ahead of the line that slows, prevents it",
        .absolute.pa,
        .vapour.pa
    )]
    Parts {
        /// Name of the step.
        step: String,
        /// When, s after the step's start.
        after_s: f64,
        /// Name of the node with the lowest pressure.
        place: String,
        /// The pressure a column that held together would need there.
        absolute: AbsolutePressure,
        /// Name of the liquid.
        liquid: String,
        /// Its vapour pressure.
        vapour: AbsolutePressure,
    },
}

impl RunError {
    /// No solution in `step`.
    pub(super) fn unsolved(step: &Step, source: SolveError) -> Self {
        Self::Unsolved { step: step.name.clone(), source }
    }
}
