//! A scenario after checking: SI numbers, references resolved, no places in a file.

use crate::plumbing::Machine;
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
}

/// Travel over the field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Travel {
    /// Forward speed, m/s, > 0.
    pub speed_m_s: f64,
    /// Application rate wanted, m (m3 of spray per m2 of field), if given.
    pub rate_m: Option<f64>,
}

/// Limits on findings, as shares unless the name ends in a unit; `None` where nothing is demanded.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limits {
    /// Spread of tip pressures over the boom.
    pub spread: Option<Limit>,
    /// Drop from gauge to the outer end of any section, as a share of the gauge pressure.
    pub section_drop: Option<Limit>,
    /// Difference of any section's feed-end pressure from the mean of all.
    pub section_balance: Option<Limit>,
    /// Deviation of any tip's flow from the mean of all.
    pub tip_flow: Option<Limit>,
    /// Coefficient of variation of tip flows.
    pub tip_flow_variation: Option<Limit>,
    /// Velocity in any line of the pressure side, m/s.
    pub velocity_m_s: Option<Limit>,
    /// Velocity in any suction line, m/s.
    pub suction_velocity_m_s: Option<Limit>,
    /// Deviation of the application rate from the one wanted.
    pub rate: Option<Limit>,
    /// Time until every running tip has full strength, s.
    pub prime_within_s: Option<Limit>,
    /// Strength left at any running tip when a rinse ends.
    pub rinsed_to: Option<Limit>,
    /// Liquid left in the purged lines, m3.
    pub left_behind_m3: Option<Limit>,
    /// Liquid lost through tips by a purge, m3.
    pub lost_m3: Option<Limit>,
}

/// One limit and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The largest value that meets it, SI.
    pub at_most: f64,
    /// Who demands it: `scenario`, or a standard and how its figure is known.
    pub source: String,
}
