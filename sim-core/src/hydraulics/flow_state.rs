//! Pressures and flows of a whole network at one instant.

use crate::plumbing::{BranchId, NodeId, Plumbing, TipId};

/// Flow up to which nothing counts as moving, m3/s: a drop in several minutes.
pub const STILL_M3_S: f64 = 1e-10;

/// Flow that counts as none in a balance, m3/s: in still water, what rounding of pressures drives through a wide line.
pub(crate) const ROUNDING_M3_S: f64 = 1e-3 * STILL_M3_S;

/// The state of flow of a network at one instant.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FlowState {
    /// Total pressure of each node, Pa gauge.
    pub total_pressure_pa: Vec<f64>,
    /// Static pressure of each node, Pa gauge: what a gauge or tip there sees.
    pub static_pressure_pa: Vec<f64>,
    /// Flow of each branch, m3/s, positive from its `from` to its `to` node.
    pub flow_m3_s: Vec<f64>,
    /// Loss of total pressure by friction, fittings and tee of each branch along its positive
    /// direction, Pa (lift not counted; negative for a pump's rise).
    pub loss_pa: Vec<f64>,
    /// Flow of each tip, m3/s.
    pub tip_flow_m3_s: Vec<f64>,
    /// Static pressure at each tip's body, Pa gauge.
    pub tip_pressure_pa: Vec<f64>,
    /// Where each control's actuator stands: speed share or opening.
    pub actuator: Vec<Actuated>,
    /// What the solve has to say by name.
    pub notices: Vec<Notice>,
    /// What the solve cost.
    pub statistics: SolverStatistics,
}

impl FlowState {
    /// A network in which nothing moves and no pressure stands.
    pub fn at_rest(plumbing: &Plumbing) -> Self {
        let (nodes, branches) = (plumbing.nodes.len(), plumbing.branches.len());
        Self {
            total_pressure_pa: vec![0.0; nodes],
            static_pressure_pa: vec![0.0; nodes],
            flow_m3_s: vec![0.0; branches],
            loss_pa: vec![0.0; branches],
            tip_flow_m3_s: vec![0.0; plumbing.tips.len()],
            tip_pressure_pa: vec![0.0; plumbing.tips.len()],
            ..Self::default()
        }
    }

    /// Whether nothing moves anywhere.
    pub fn is_still(&self) -> bool {
        let flows = self.flow_m3_s.iter().chain(&self.tip_flow_m3_s);
        flows.into_iter().all(|flow| flow.abs() <= STILL_M3_S)
    }

    /// Brings flows of branches and tips the share `share` of the way to those of `other`.
    pub(crate) fn average_flows(&mut self, other: &Self, share: f64) {
        let average = |mine: &mut [f64], others: &[f64]| {
            mine.iter_mut().zip(others).for_each(|(mine, other)| *mine += share * (other - *mine));
        };
        average(&mut self.flow_m3_s, &other.flow_m3_s);
        average(&mut self.tip_flow_m3_s, &other.tip_flow_m3_s);
    }
}

/// Where a control's actuator ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Actuated {
    /// Speed as a share of the curve's speed, or opening 0 to 1.
    pub value: f64,
    /// Whether the held value is reached.
    pub reached: Reached,
}

/// Whether a control reaches its set value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reached {
    /// It does.
    Yes,
    /// The actuator is at its upper end and the held value is still off.
    AtTop,
    /// The actuator is at its lower end and the held value is still off.
    AtBottom,
    /// The actuator does not move what is held.
    NoEffect,
}

/// Something about a solved network that the user must know, by name.
#[derive(Clone, Debug, PartialEq)]
pub enum Notice {
    /// These nodes are cut off from every tank and open tip by closed valves; they keep their last
    /// pressure and nothing flows.
    CutOff(Vec<NodeId>),
    /// A control does not reach its set value (index into the step's controls).
    NotHeld {
        /// Which control.
        control: usize,
        /// What the held quantity came to (Pa or m3/s).
        got: f64,
    },
    /// A check valve is held closed by back pressure.
    HeldClosed {
        /// The valve.
        branch: BranchId,
    },
    /// A pump runs and passes nothing: what it gives does not lift what presses against it.
    PumpIdle {
        /// The pump.
        branch: BranchId,
        /// Rise of pressure at no flow, Pa.
        gives_pa: f64,
        /// Rise from which something would pass, Pa.
        needs_pa: f64,
    },
    /// An open tip is at negative pressure: it would draw air.
    TipBelowAtmosphere(TipId),
    /// A tip check valve stays closed: pressure below its opening pressure.
    TipCheckClosed(TipId),
    /// Absolute pressure at this node is below the liquid's vapour pressure.
    BelowVapourPressure(NodeId),
    /// A pump runs beyond the last point of its curve.
    BeyondCurve {
        /// The pump.
        branch: BranchId,
    },
    /// Required net positive suction head exceeds what is available.
    SuctionShort {
        /// The pump.
        branch: BranchId,
        /// Available, m.
        available_m: f64,
        /// Required, m.
        required_m: f64,
    },
}

/// What a solve cost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SolverStatistics {
    /// Newton iterations.
    pub iterations: u32,
    /// Numeric factorisations.
    pub factorisations: u32,
    /// Shortened steps.
    pub shortened: u32,
}
