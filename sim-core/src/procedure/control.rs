//! What is held, and by what.

use crate::plumbing::{BranchId, Machine, NoRole, NodeId};

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

    /// `pa` at the boom gauge of `machine`, Pa gauge, > 0, held by the speed of its pump.
    ///
    /// # Errors
    /// [`NoRole`] where `machine` has no boom gauge or no pump.
    pub fn pressure(machine: &Machine, pa: f64) -> Result<Self, NoRole> {
        let node = machine.roles.gauge.ok_or(NoRole("boom gauge"))?;
        Ok(Self::new(Held::Pressure { node, pa }, pump_speed(machine)?))
    }

    /// `m3_s` through the main of `machine`, m3/s, > 0, held by the speed of its pump.
    ///
    /// # Errors
    /// [`NoRole`] where `machine` has no main or no pump.
    pub fn flow(machine: &Machine, m3_s: f64) -> Result<Self, NoRole> {
        let branch = machine.roles.main.ok_or(NoRole("main"))?;
        Ok(Self::new(Held::Flow { branch, m3_s }, pump_speed(machine)?))
    }
}

fn pump_speed(machine: &Machine) -> Result<Actuator, NoRole> {
    machine.roles.pump.map(Actuator::PumpSpeed).ok_or(NoRole("pump"))
}

/// Largest number of controls at work at once.
pub const MOST_CONTROLS: usize = 4;
