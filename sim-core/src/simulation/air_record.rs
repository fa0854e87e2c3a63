//! What a run leaves behind of the air in its plumbing.

use crate::fluids::{AbsolutePressure, GaugePressure};
use crate::plumbing::{BranchId, NodeId, TipId};
use crate::transport::{AirAccount, Amount, Caught, LineLeft, LinePhases};

/// What air did in a step.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AirRecord {
    /// Liquid in lines when the step starts, m3; what lies in lines that were never part of it included.
    pub at_start_m3: f64,
    /// Liquid that came back into tanks, less what they gave.
    pub returned: Amount,
    /// The most liquid that had come back since the step's start, m3, and when, s after it: what is back may run into the
    /// lines again.
    pub most_returned: (f64, f64),
    /// Liquid that passed tips.
    pub lost: Amount,
    /// What each line holds at the end, in the plumbing's order; nothing for other parts.
    pub left: Vec<LineLeft>,
    /// When the column of each line was first gone, s after the step's start.
    pub broken_through_s: Vec<Option<f64>>,
    /// When liquid first was at each tip, s after the step's start; 0 where it did already.
    pub wet_s: Vec<Option<f64>>,
    /// When liquid was at every tip of the open sections, s after the step's start.
    pub filled_s: Option<f64>,
    /// When liquid last came back to a tank, s after the step's start.
    pub last_liquid_s: Option<f64>,
    /// Air that came and went.
    pub account: AirAccount,
    /// Air that came or went without account, over what moved.
    pub error: f64,
    /// Pressure in the receiver; `None` without a supply.
    pub receiver: Option<ReceiverRecord>,
    /// Highest pressure that lasted for about 50 ms, and where; pressure that only is left over from before the step does
    /// not count.
    pub highest: Option<(AbsolutePressure, NodeId)>,
    /// Highest pressure of each line over its rating, and the line, where one is rated.
    pub over_rating: Option<(f64, BranchId)>,
    /// First of the tips that passed liquid or air though closed by a check valve, and when, s.
    pub opened: Option<(TipId, f64)>,
    /// Tips that did.
    pub tips_opened: usize,
    /// Air caught in dead legs at the end.
    pub caught: Vec<Caught>,
}

/// Pressure in the receiver while a step lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReceiverRecord {
    /// When it starts.
    pub start: AbsolutePressure,
    /// When it ends.
    pub end: AbsolutePressure,
    /// At its lowest.
    pub lowest: AbsolutePressure,
}

/// One moment of a step with air.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AirSample {
    /// Where liquid and air are in each branch, in the plumbing's order; full where it is no line.
    pub lines: Vec<LinePhases>,
    /// Liquid returned since the step's start, m3.
    pub returned_m3: f32,
    /// Liquid lost through tips since the step's start, m3.
    pub lost_m3: f32,
    /// Pressure in the receiver, Pa absolute.
    pub(super) receiver_pa: Option<f32>,
    /// Pressure where air comes in, Pa gauge.
    pub(super) inlet_pa: Option<f32>,
    /// Flow of free air that comes in, m3/s.
    pub supplied_m3_s: f32,
}

impl AirSample {
    /// Share of branch number `branch` that is air; 0 where it is no line.
    pub fn air_share(&self, branch: usize) -> f64 {
        1.0 - self.lines[branch].liquid_share()
    }

    /// Pressure in the receiver; `None` without a supply.
    pub fn receiver(&self) -> Option<AbsolutePressure> {
        self.receiver_pa.map(|pa| AbsolutePressure { pa: f64::from(pa) })
    }

    /// Pressure where compressed air comes in; `None` in a step without.
    pub fn inlet(&self) -> Option<GaugePressure> {
        self.inlet_pa.map(|pa| GaugePressure { pa: f64::from(pa) })
    }
}
