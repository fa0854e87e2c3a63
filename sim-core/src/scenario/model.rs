//! A scenario after checking: SI numbers, references resolved, no places in a file.

use crate::measures::Limits;
use crate::plumbing::{Invalid, Machine};
use crate::procedure::Course;

/// A machine, what is done with it, and what is demanded of the findings.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// What the user calls it.
    pub title: String,
    /// What it shows, if the user says so.
    pub about: Option<String>,
    /// The machine.
    pub machine: Machine,
    /// What is done with it.
    pub course: Course,
    /// What the user or a standard demands.
    pub limits: Limits,
}

impl Scenario {
    /// A scenario of `machine` and `course` alone, nothing demanded.
    pub fn new(machine: impl Into<Machine>, course: Course) -> Self {
        Self {
            title: String::new(),
            about: None,
            machine: machine.into(),
            course,
            limits: Limits::default(),
        }
    }

    /// Whether machine and course can be computed. What [`read`](super::read) returns can.
    ///
    /// # Errors
    /// The first thing found that cannot.
    pub fn check(&self) -> Result<(), Invalid> {
        self.machine.check()?;
        self.course.check(&self.machine.plumbing)
    }
}
