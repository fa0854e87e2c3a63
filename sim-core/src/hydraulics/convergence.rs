//! When an iteration is done, hopeless, or in need of smaller steps.

/// Largest relative error of a solved network.
pub(super) const TOLERANCE: f64 = 1e-9;

/// What to do next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Progress {
    /// The error is below [`TOLERANCE`].
    Converged,
    /// Another iteration is due.
    Continue,
    /// No more iterations are allowed.
    Stopped,
}

/// Watches the error from iteration to iteration.
#[derive(Clone, Debug)]
pub(super) struct Convergence {
    left: u32,
    best: f64,
    stale: u32,
    relaxation: f64,
    tolerance: f64,
}

/// Iterations without a new best error before lagging terms are brought in more slowly.
const PATIENCE: u32 = 8;

impl Convergence {
    pub(super) fn new(most_iterations: u32, tolerance: f64) -> Self {
        Self { tolerance, left: most_iterations, best: f64::INFINITY, stale: 0, relaxation: 1.0 }
    }

    /// Share by which lagging terms follow the flows, in (0, 1].
    pub(super) fn relaxation(&self) -> f64 {
        self.relaxation
    }

    /// What follows is another problem: its errors are no worse for being larger than those before.
    pub(super) fn begin_stage(&mut self) {
        (self.best, self.stale) = (f64::INFINITY, 0);
    }

    /// Judges the error of the present state.
    pub(super) fn judge(&mut self, error: f64) -> Progress {
        if error <= self.tolerance {
            return Progress::Converged;
        }
        if self.left == 0 || error.is_nan() {
            return Progress::Stopped;
        }
        self.left -= 1;
        self.stale += 1;
        if error < self.best {
            (self.best, self.stale) = (error, 0);
        } else if self.stale >= PATIENCE {
            (self.stale, self.relaxation) = (0, 0.5 * self.relaxation);
        }
        Progress::Continue
    }
}
