//! What a run leaves behind: the only thing findings, tables and plots read.

use super::air_record::{AirRecord, AirSample};
use super::probe_sample::ProbeSample;
use crate::fluids::GaugePressure;
use crate::hydraulics::FlowState;
use crate::plumbing::{BranchId, NodeId, TankId};
use crate::transport::Amount;

/// The record of a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// One entry for each step of the course, in order.
    pub steps: Vec<StepRecord>,
}

/// The record of one step.
#[derive(Clone, Debug, PartialEq)]
pub struct StepRecord {
    /// Pressures and flows at its end.
    pub end: FlowState,
    /// Largest imbalance of flow at a node, over the largest flow.
    pub imbalance: f64,
    /// When it starts, s after the first step's start.
    pub start_s: f64,
    /// When it ends, s.
    pub end_s: f64,
    /// What moved while it lasted; `None` for a step that lasts no time.
    pub moved: Option<MovedRecord>,
}

impl StepRecord {
    /// Static pressures at nodes at every moment that is kept, Pa gauge, with its time, s after the step's start: of a
    /// step that lasts those of its samples, of any its end.
    pub fn pressures(&self) -> impl Iterator<Item = (f64, NodeId, f64)> {
        let samples = self.moved.iter().flat_map(|moved| &moved.samples);
        let sampled = samples.flat_map(|sample| {
            let at_s = sample.time_s - self.start_s;
            sample.nodes_pa.iter().enumerate().map(move |(i, pa)| (f64::from(*pa), i, at_s))
        });
        let end_s = self.end_s - self.start_s;
        let end = self.end.static_pressure_pa.iter().enumerate();
        let all = sampled.chain(end.map(move |(i, pa)| (*pa, i, end_s)));
        all.map(|(pa, i, at_s)| (pa, NodeId::at(i), at_s))
    }
}

/// What ended a step that lasts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ended {
    /// Its time was up.
    #[default]
    Time,
    /// What it waited for came.
    Reached,
    /// A tank was down to its heel.
    TankEmpty(TankId),
}

/// What moved while a step lasted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MovedRecord {
    /// What ended it.
    pub ended: Ended,
    /// Whether flows had come to rest at those of its settings when it ended.
    pub settled_flow: bool,
    /// When flows had done so, s after its start.
    pub steady_after_s: Option<f64>,
    /// When new liquid arrived at each tip, in the plumbing's order.
    pub arrivals: Vec<Arrival>,
    /// Concentration of the tank that feeds the machine at the step's start: what tips come to.
    pub fed_concentration: f64,
    /// All that was sprayed.
    pub sprayed: Amount,
    /// What came back into tanks through the return side.
    pub returned: Amount,
    /// When what comes back is half way from what the return side held to what the tank gives, s.
    pub return_half_s: Option<f64>,
    /// When each branch that is a dead leg was full, s after the step's start.
    pub leg_full_s: Vec<Option<f64>>,
    /// Concentration at each tip at the end.
    pub tip_concentration: Vec<f64>,
    /// Mean concentration of each branch that is a line at the end.
    pub line_concentration: Vec<Option<f64>>,
    /// Concentration of each tank at the end.
    pub tank_concentration: Vec<f64>,
    /// Volume of each tank at the end, m3, if known.
    pub tank_m3: Vec<Option<f64>>,
    /// Product that lies settled in lines at the end, m3 of full strength.
    pub settled_m3: f64,
    /// Line whose column presses most as it slows when the step begins, and by how much its velocity falls, m/s.
    pub slowed: Option<(BranchId, f64)>,
    /// Where a column of liquid parted, if one did.
    pub parted: Option<Parted>,
    /// Liquid that came or went without account, over what was held and moved.
    pub liquid_error: f64,
    /// Product that came or went without account, over what was held and moved.
    pub product_error: f64,
    /// Concentrations, flows and pressures over time.
    pub samples: Vec<Sample>,
    /// Moves that the step took.
    pub moves: usize,
    /// Of every how many moves the moment at its end is kept in `samples`; the first and the last moment of the step always are.
    pub kept_every: usize,
    /// What air did, where there was any.
    pub air: Option<AirRecord>,
}

/// Where and when a column of liquid that stops too fast parts and leaves a cavity of vapour behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parted {
    /// The node that a column which held together would pull most at.
    pub node: NodeId,
    /// What it would pull there.
    pub lowest: GaugePressure,
    /// When the first column parts, s after the step's start.
    pub from_s: f64,
    /// For how long in all, s.
    pub lasts_s: f64,
}

/// When new liquid arrived at a tip's body, s after the step's start, `None`: not while it lasted; and what the tip
/// sprayed below full strength.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Arrival {
    /// First of it: 1 % of the way from old to new concentration.
    pub first_s: Option<f64>,
    /// Half way.
    pub half_s: Option<f64>,
    /// 95 % of the way.
    pub most_s: Option<f64>,
    /// From when on it stayed at full strength, measured by what the tank gives at that time.
    pub full_s: Option<f64>,
    /// From when on it stayed at or below what the limit of the rinse allows.
    pub rinsed_s: Option<f64>,
    /// What the tip sprayed below full strength.
    pub under_dosed: Amount,
}

/// One moment of a step.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sample {
    /// s after the run's start.
    pub time_s: f64,
    /// Concentration at each tip.
    pub tips: Vec<f32>,
    /// Mean concentration of each branch; not a number where it is no line.
    pub lines: Vec<f32>,
    /// Concentration of each tank.
    pub tanks: Vec<f32>,
    /// Concentration with which liquid leaves each line; not a number where none does.
    pub leaving: Vec<f32>,
    /// Concentration that is at each node; not a number where nothing tells.
    pub nodes: Vec<f32>,
    /// Static pressure at each node, Pa.
    pub nodes_pa: Vec<f32>,
    /// Flow of each branch, m3/s, positive from its `from` to its `to` node.
    pub flows_m3_s: Vec<f32>,
    /// Flow of each tip, m3/s.
    pub tip_flows_m3_s: Vec<f32>,
    /// Static pressure at each gauge, Pa.
    pub gauges_pa: Vec<f32>,
    /// Flow of all pumps, m3/s.
    pub pumped_m3_s: f32,
    /// Flow of all tips, m3/s.
    pub sprayed_m3_s: f32,
    /// Flow of the return side into tanks, m3/s.
    pub returned_m3_s: f32,
    /// What air does, where there is any.
    pub air: Option<AirSample>,
    /// What the probes of the course read, in their order.
    pub probes: Vec<ProbeSample>,
}
