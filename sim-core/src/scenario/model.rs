//! A scenario after checking: SI numbers, references resolved, no places in a file.

use super::fault::InputFault;
use crate::measures::{Limits, Measure};
use crate::plumbing::{Invalid, Machine};
use crate::procedure::Course;
use crate::units::UnitSystem;
use std::ops::Range;

/// A machine, what is done with it, and what is demanded of the findings.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// What the user calls it.
    pub title: String,
    /// What it shows, if the user says so.
    pub about: Option<String>,
    /// The units its findings are shown in unless the reader asks for others.
    pub units: UnitSystem,
    /// The machine.
    pub machine: Machine,
    /// What is done with it.
    pub course: Course,
    /// What the user or a standard demands.
    pub limits: Limits,
}

/// A scenario, and what its file says to no effect.
#[derive(Clone, Debug, PartialEq)]
pub struct Noted {
    /// The scenario.
    pub scenario: Scenario,
    /// Keys that change nothing, in the order of the file: where, why, and what to do. None of them is a fault.
    pub ignored: Vec<InputFault>,
    /// Bytes of the file that give each limit: only a run shows whether any step has what it limits.
    pub limits_at: Vec<(Measure, Range<usize>)>,
}

impl Scenario {
    /// A scenario of `machine` and `course` alone, nothing demanded.
    pub fn new(machine: impl Into<Machine>, course: Course) -> Self {
        Self {
            title: String::new(),
            about: None,
            units: UnitSystem::Si,
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
