//! How the time step of moves with air goes on.

use crate::hydraulics::Mixed;

/// First time step after something came to an end, s.
pub(super) const FIRST_S: f64 = 2e-3;

/// State of the moves with air.
#[derive(Clone, Debug, Default)]
pub(super) struct AirySteps {
    /// Length of the next step, s.
    pub(super) dt_s: f64,
    /// Short steps taken in vain.
    pub(super) hopeless: u32,
    pub(super) mixed: Mixed,
}

impl AirySteps {
    /// Starts anew with short steps.
    pub(super) fn restart(&mut self) {
        self.dt_s = FIRST_S;
    }
}
