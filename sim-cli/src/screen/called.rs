//! What steps are called.

use crate::results::{Finished, FinishedStep};

/// What a step, or the purge that ends with it, is called; of steps that repeat, each pass by itself.
pub(super) fn called(of: &FinishedStep<'_>) -> String {
    match &of.findings.purge {
        Some(purge) if purge.steps.len() > 1 => format!("purge, {} parts", purge.steps.len()),
        _ => of.step.name.clone(),
    }
}

/// Whether the run has more than one step to tell apart.
pub(super) fn has_several_steps(finished: &Finished) -> bool {
    finished.reported_steps().count() > 1
}
