//! What is open, shut, held or running in a step?
//!
//! [`Settings`] are the position of everything adjustable, a [`Control`] is what moves to hold something, a [`Step`] is
//! both with how long it lasts, and [`Ramp`] leads from one step to the next.

mod model_options;
mod ramp;
mod sound;

use crate::plumbing::{BranchId, NodeId, Part, Plumbing, TankId};

pub use model_options::ModelOptions;
pub use ramp::Ramp;

/// What a step does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// Tips of the open sections run.
    Spray,
    /// The same, to bring full strength to every tip.
    Prime,
    /// Tips are shut; liquid returns to the tank.
    Circulate,
    /// Pumps rest, tips are shut.
    Stand,
    /// Tips run to wash product out.
    Rinse,
    /// Compressed air pushes the liquid in the lines back to the tank; pumps rest, tips are shut.
    Purge,
}

impl Action {
    /// Every action.
    pub const ALL: [Self; 6] =
        [Self::Spray, Self::Prime, Self::Circulate, Self::Stand, Self::Rinse, Self::Purge];

    /// The word scenario files use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Spray => "spray",
            Self::Prime => "prime",
            Self::Circulate => "circulate",
            Self::Stand => "stand",
            Self::Rinse => "rinse",
            Self::Purge => "purge",
        }
    }

    /// Whether its tips run.
    pub fn sprays(self) -> bool {
        matches!(self, Self::Spray | Self::Prime | Self::Rinse)
    }
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
    /// How the machine comes from the step before to this one's settings.
    pub change: Change,
    /// What tanks are filled with as it starts.
    pub loads: Vec<Load>,
    /// What runs from tank to tank beside the plumbing while it lasts.
    pub transfers: Vec<Transfer>,
    /// Which pass of a repeated step this is and of how many, from 1; `None` where it runs once.
    pub pass: Option<(usize, usize)>,
    /// Compressed air let in while it lasts.
    pub purge: Option<Purge>,
}

/// Compressed air let into the plumbing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Purge {
    /// Where it enters.
    pub node: NodeId,
    /// How it is pulsed; `None`: it blows all the time.
    pub pulse: Option<Pulse>,
}

/// Air let in for a while and held back for a while, again and again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulse {
    /// Time it blows, s, > 0.
    pub on_s: f64,
    /// Time it is held back, s, > 0.
    pub off_s: f64,
}

impl Step {
    /// Whether it is a pass of a repeated step that is neither the first nor the last. Parts of a purge are no
    /// repeats of one another.
    pub fn is_middle_pass(&self) -> bool {
        self.action != Action::Purge && self.pass.is_some_and(|(pass, of)| pass > 1 && pass < of)
    }
}

/// How long a step lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lasts {
    /// At most this long, s, > 0.
    pub most_s: f64,
    /// What ends it before.
    pub until: Until,
}

/// What ends a step before its time. A tank that gives out ends every step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Until {
    /// Nothing.
    Time,
    /// Every running tip (every tip, where none runs) at full strength.
    FullStrength,
    /// Every running tip at or below the strength that the limit of the rinse allows.
    Rinsed,
    /// A tank that feeds the machine is down to what the pump cannot draw.
    TankEmpty,
    /// Liquid stands at every tip of the open sections (at every tip, where none is open).
    Filled,
    /// No liquid has come back to a tank for this long, s, > 0, after some has.
    NoLiquid(f64),
    /// The receiver of the compressed air is down to this pressure, Pa gauge.
    ReceiverDown(f64),
}

impl Until {
    /// The words scenario files use; `None` for time alone.
    pub fn word(self) -> Option<&'static str> {
        match self {
            Self::Time => None,
            Self::FullStrength => Some("full strength"),
            Self::Rinsed => Some("rinsed"),
            Self::TankEmpty => Some("tank empty"),
            Self::Filled => Some("filled"),
            Self::NoLiquid(_) => Some("no liquid"),
            Self::ReceiverDown(_) => Some("receiver down"),
        }
    }
}

/// How the machine comes to a step's settings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Change {
    /// Time over which valves, tips and pumps move, s, >= 0.
    pub ramp_s: f64,
    /// Parts that start to move only after a time, s.
    pub delays_s: Vec<(BranchId, f64)>,
}

/// What a tank is filled with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Which tank.
    pub tank: TankId,
    /// Volume it then holds, m3, where given.
    pub holds_m3: Option<f64>,
    /// Strength it then holds, 0 to 1.
    pub strength: f64,
}

/// A flow from one tank to another beside the plumbing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transfer {
    /// The tank that gives.
    pub from: TankId,
    /// The tank that takes.
    pub to: TankId,
    /// Flow, m3/s, > 0.
    pub flow_m3_s: f64,
}

/// The position of everything adjustable.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Opening of each branch that is a valve, 0 to 1; 1 for every other branch.
    pub opening: Vec<f64>,
    /// Speed of each branch that is a pump, as a share of its curve's speed; 0 for every other.
    pub speed: Vec<f64>,
    /// Opening of each tip by command, 0 or 1 but for a moment (a check valve may still keep it shut).
    pub tip_opening: Vec<f64>,
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
            tip_opening: vec![1.0; plumbing.tips.len()],
        }
    }

    /// The machine at rest: valves as these settings have them, pumps still, tips shut.
    pub fn at_rest(&self) -> Self {
        let mut rest = self.clone();
        rest.speed.fill(0.0);
        rest.tip_opening.fill(0.0);
        rest
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
    /// Time constant with which the actuator comes to its place after a change, s, >= 0.
    pub response_s: f64,
}

impl Control {
    /// A control that comes to its place with the step's ramp.
    pub fn new(held: Held, by: Actuator) -> Self {
        Self { held, by, response_s: 0.0 }
    }
}

/// Largest number of controls at work at once.
pub const MOST_CONTROLS: usize = 4;
