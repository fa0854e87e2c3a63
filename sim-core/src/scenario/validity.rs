//! Can a scenario that was put together in code be run?

use super::model::Scenario;
use crate::plumbing::{Invalid, figure};

impl Scenario {
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
