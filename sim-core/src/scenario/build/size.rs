//! How large a scenario may be: what goes beyond would not come to its end, or not into memory.

use super::super::value::Span;
use super::Build;

/// Most steps a scenario may come to, repeats counted.
pub(in crate::scenario) const MOST_STEPS: usize = 20_000;
/// Most steps times lines and parts: each step keeps something of each.
pub(in crate::scenario) const MOST_STEP_PARTS: usize = 5_000_000;
/// Longest time that all steps together may last, days.
pub(in crate::scenario) const MOST_DAYS: f64 = 366.0;

const SECONDS_A_DAY: f64 = 86_400.0;

impl Build<'_> {
    /// Whether `count` steps are too many; then a fault at `span` says so.
    pub(super) fn too_many_steps(&mut self, count: usize, span: &Span) -> bool {
        let parts = self.machine.plumbing.branches.len();
        if count > MOST_STEPS {
            let message = format!("that makes {count} steps");
            self.fault(
                span.clone(),
                message,
                Some(format!("a scenario may have {MOST_STEPS} steps")),
            );
        } else if count.saturating_mul(parts) > MOST_STEP_PARTS {
            let message = format!("that makes {count} steps of {parts} lines and parts");
            let help = format!("a scenario this large may have {} steps", MOST_STEP_PARTS / parts);
            self.fault(span.clone(), message, Some(help));
        } else {
            return false;
        }
        true
    }

    /// Whether steps that last `seconds` in all are too long; then a fault at `span` says so, once.
    pub(super) fn too_long(&mut self, seconds: f64, span: &Span) -> bool {
        let days = seconds / SECONDS_A_DAY;
        if days <= MOST_DAYS {
            return false;
        }
        let message = format!("all steps together would last {days:.0} days");
        let told = self.walk.faults.iter().any(|fault| fault.message == message);
        if !told {
            let help = format!("a scenario may last {MOST_DAYS} days");
            self.fault(span.clone(), message, Some(help));
        }
        true
    }
}
