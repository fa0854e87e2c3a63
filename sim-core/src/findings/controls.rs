//! What each control reaches.

use super::measured::Measures;
use super::named::Named;
use crate::hydraulics::{Actuated, FlowState, Reached};
use crate::measures::Measure;
use crate::plumbing::{BranchId, Plumbing};
use crate::procedure::{Actuator, Control, Held};
use crate::units::Quantity;
use schemars::JsonSchema;
use serde::Serialize;

/// What a control reaches.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ControlFinding {
    /// Gauge, node or part where it holds.
    pub at: String,
    /// What it is to hold, and what that comes to.
    #[serde(flatten)]
    pub held: Controlled,
    /// The pump or valve that moves.
    pub actuator: Named<BranchId>,
    /// Speed over the curve's speed, or opening.
    pub actuator_share: f64,
    /// Whether the setpoint is reached.
    pub reached: bool,
}

/// The quantity that a control holds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Controlled {
    /// A pressure.
    Pressure {
        /// Pressure to hold, gauge.
        setpoint_pa: f64,
        /// Pressure reached, gauge.
        actual_pa: f64,
    },
    /// A flow.
    Flow {
        /// Flow to hold.
        setpoint_m3_s: f64,
        /// Flow reached.
        actual_m3_s: f64,
    },
}

impl Controlled {
    /// What is held, the setpoint and the value reached, in SI units.
    pub fn values(&self) -> (Quantity, f64, f64) {
        match *self {
            Self::Pressure { setpoint_pa, actual_pa } => {
                (Quantity::Pressure, setpoint_pa, actual_pa)
            }
            Self::Flow { setpoint_m3_s, actual_m3_s } => {
                (Quantity::Flow, setpoint_m3_s, actual_m3_s)
            }
        }
    }
}

/// Measures of what `controls` reach.
pub(super) fn measure(controls: &[ControlFinding], found: &mut Measures) {
    let off = controls.iter().map(|control| {
        let (_, setpoint, actual) = control.held.values();
        (actual / setpoint - 1.0).abs()
    });
    found.add(Measure::SetpointOff, off.reduce(f64::max));
}

impl ControlFinding {
    /// The pressure reached, Pa gauge; `None` for a flow.
    pub fn actual_pa(&self) -> Option<f64> {
        match self.held {
            Controlled::Pressure { actual_pa, .. } => Some(actual_pa),
            Controlled::Flow { .. } => None,
        }
    }

    /// The pressure held, Pa gauge; `None` for a flow and for a setpoint that is not reached.
    pub fn held_pa(&self) -> Option<f64> {
        match self.held {
            Controlled::Pressure { setpoint_pa, .. } if self.reached => Some(setpoint_pa),
            _ => None,
        }
    }
}

pub(super) fn controls(
    plumbing: &Plumbing,
    controls: &[Control],
    end: &FlowState,
) -> Vec<ControlFinding> {
    let finding = |(control, actuated): (&Control, &Actuated)| {
        let (at, held) = match control.held {
            Held::Pressure { node, pa } => {
                let gauge = plumbing.gauges.iter().find(|gauge| gauge.node == node);
                let name = gauge.map_or(&plumbing.node(node).name, |gauge| &gauge.name);
                let actual_pa = end.static_pressure_pa[node.index()];
                (name, Controlled::Pressure { setpoint_pa: pa, actual_pa })
            }
            Held::Flow { branch, m3_s } => {
                let actual_m3_s = end.flow_m3_s[branch.index()];
                let held = Controlled::Flow { setpoint_m3_s: m3_s, actual_m3_s };
                (&plumbing.branch(branch).name, held)
            }
        };
        let (Actuator::PumpSpeed(by) | Actuator::ValveOpening(by)) = control.by;
        ControlFinding {
            at: at.clone(),
            held,
            actuator: Named::branch(plumbing, by),
            actuator_share: actuated.value,
            reached: actuated.reached == Reached::Yes,
        }
    };
    controls.iter().zip(&end.actuator).map(finding).collect()
}
