//! The position of everything adjustable.

use crate::plumbing::{Part, Plumbing, SectionId};

/// The position of everything adjustable.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Opening of each branch that is a valve, 0 to 1; 1 for every other branch.
    pub opening: Vec<f64>,
    /// Speed of each branch that is a pump, as a share of its curve's speed; 0 for every other.
    pub speed: Vec<f64>,
    /// Opening of each tip by command, 0 or 1 but for a moment (a check valve may still keep it closed).
    pub tip_opening: Vec<f64>,
}

impl Settings {
    /// Settings as the plumbing itself states them: valves at their own opening, pumps at their own
    /// speed, every tip open that is in use.
    pub fn of(plumbing: &Plumbing) -> Self {
        let opening = |part: &Part| match part {
            Part::Valve(valve) => valve.opening,
            _ => 1.0,
        };
        let speed = |part: &Part| part.pump().map_or(0.0, |pump| pump.speed);
        Self {
            opening: plumbing.branches.iter().map(|b| opening(&b.part)).collect(),
            speed: plumbing.branches.iter().map(|b| speed(&b.part)).collect(),
            tip_opening: plumbing.tips.iter().map(|tip| f64::from(tip.in_use)).collect(),
        }
    }

    /// Whether the valve of `section` is closed.
    pub(crate) fn closes(&self, plumbing: &Plumbing, section: SectionId) -> bool {
        let valve = plumbing.sections[section.index()].valve;
        valve.is_some_and(|valve| self.opening[valve.index()] <= 0.0)
    }

    /// The machine at rest: valves as these settings have them, pumps still, tips closed.
    pub fn at_rest(&self) -> Self {
        let mut rest = self.clone();
        rest.speed.fill(0.0);
        rest.tip_opening.fill(0.0);
        rest
    }
}
