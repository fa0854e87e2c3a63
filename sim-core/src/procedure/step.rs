//! A step: settings, what is held, how long it lasts, what goes on beside the plumbing.

use super::{Action, Control, Settings};
use crate::plumbing::{BranchId, NodeId, TankId};

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
    pub purge: Option<AirPurge>,
}

/// Compressed air let into the plumbing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirPurge {
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
    /// Every running tip at or below the concentration that the limit of the rinse allows.
    Rinsed,
    /// A tank that feeds the machine is down to what the pump cannot draw.
    TankEmpty,
    /// Liquid is at every tip of the open sections (at every tip, where none is open).
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
    /// Concentration it then holds, 0 to 1.
    pub concentration: f64,
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
