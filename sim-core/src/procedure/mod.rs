//! What is open, shut, held or running in a step?

use crate::plumbing::{BranchId, NodeId, Part, Plumbing};

/// What a step does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// Tips of the open sections run.
    Spray,
    /// Tips are shut; liquid returns to the tank.
    Circulate,
}

/// One step of a scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its name, unique in the scenario.
    pub name: String,
    /// What it does.
    pub action: Action,
    /// Everything adjustable, as this step sets it.
    pub settings: Settings,
    /// What is held, and by what.
    pub controls: Vec<Control>,
    /// How long it lasts; `None`: only the state of flow is asked for, and nothing moves.
    pub lasts: Option<Lasts>,
}

/// How long a step lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lasts {
    /// At most this long, s, > 0.
    pub most_s: f64,
    /// Whether it ends as soon as every running tip has full strength.
    pub until_full: bool,
}

/// The position of everything adjustable.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Opening of each branch that is a valve, 0 to 1; 1 for every other branch.
    pub opening: Vec<f64>,
    /// Speed of each branch that is a pump, as a share of its curve's speed; 0 for every other.
    pub speed: Vec<f64>,
    /// Whether each tip is open by command (a check valve may still keep it shut).
    pub tip_open: Vec<bool>,
}

impl Settings {
    /// Settings as the plumbing itself states them: valves at their own opening, pumps at their own
    /// speed, every tip open.
    pub fn of(plumbing: &Plumbing) -> Self {
        let opening = |part: &Part| match part {
            Part::Valve(valve) => valve.opening,
            _ => 1.0,
        };
        let speed = |part: &Part| part.pump().map_or(0.0, |pump| pump.speed);
        Self {
            opening: plumbing.branches.iter().map(|b| opening(&b.part)).collect(),
            speed: plumbing.branches.iter().map(|b| speed(&b.part)).collect(),
            tip_open: vec![true; plumbing.tips.len()],
        }
    }
}

/// What a control keeps at a set value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Held {
    /// Static pressure at a node, Pa gauge.
    Pressure {
        /// Where.
        node: NodeId,
        /// The pressure to hold, Pa gauge, > 0.
        pa: f64,
    },
    /// Flow through a branch, m3/s.
    Flow {
        /// Which.
        branch: BranchId,
        /// The flow to hold, m3/s, > 0.
        m3_s: f64,
    },
}

/// What a control moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Actuator {
    /// The speed of a pump, between 0 and its top speed.
    PumpSpeed(BranchId),
    /// The opening of a valve, between 0 and 1.
    ValveOpening(BranchId),
}

/// One thing held by moving another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Control {
    /// What is held.
    pub held: Held,
    /// What moves.
    pub by: Actuator,
}

/// Largest number of controls at work at once.
pub const MOST_CONTROLS: usize = 4;
