//! A scenario after checking: SI numbers, references resolved, no places in a file.

use crate::measures::Limits;
use crate::plumbing::{Invalid, Machine, figure};
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
    /// Travel over the field, if given.
    pub travel: Option<Travel>,
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
            travel: None,
            limits: Limits::default(),
        }
    }

    /// Whether machine and course can be computed. What [`read`](super::read) returns can.
    ///
    /// # Errors
    /// The first thing found that cannot.
    pub fn check(&self) -> Result<(), Invalid> {
        self.machine.check()?;
        self.course.check(&self.machine.plumbing)?;
        let speed = self.travel.map_or(1.0, |travel| travel.speed_m_s);
        let travel = || "the travel".to_owned();
        figure(travel, "speed_m_s", speed, "a number above 0", speed > 0.0)
    }
}

/// Travel over the field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Travel {
    /// Forward speed, m/s, > 0.
    pub speed_m_s: f64,
    /// Application rate wanted, m (m3 of spray per m2 of field), if given.
    pub rate_m: Option<f64>,
}
