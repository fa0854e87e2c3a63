//! From a machine and what is done with it to the record.

use super::error::RunError;
use super::record::Record;
use super::session::Session;
use crate::plumbing::Machine;
use crate::procedure::Course;

/// Runs every step of `course` on `machine` in order.
///
/// # Errors
/// A [`RunError`] naming the step and place where no result can be trusted.
pub fn run(machine: &Machine, course: &Course) -> Result<Record, RunError> {
    run_watched(machine, course, &mut |_, _| {})
}

/// The same; calls `progress` with the number of the step under way and the share of its longest time that has passed, at
/// its beginning and after each of its moves.
///
/// # Errors
/// A [`RunError`] naming the step and place where no result can be trusted.
pub fn run_watched(
    machine: &Machine,
    course: &Course,
    progress: &mut dyn FnMut(usize, f64),
) -> Result<Record, RunError> {
    let mut session = Session::new(machine, course)?;
    let mut record = Record::default();
    for (i, step) in course.steps.iter().enumerate() {
        progress(i, 0.0);
        session.begin(step.clone())?;
        while session.under_way() {
            session.move_on(f64::INFINITY)?;
            progress(i, session.share());
        }
        record.steps.extend(session.end()?);
    }
    Ok(record)
}
