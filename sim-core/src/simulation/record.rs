//! What a run leaves behind: the only thing findings, tables and plots read.

use crate::hydraulics::Instant;

/// The record of a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// One entry for each step of the scenario, in order.
    pub steps: Vec<StepRecord>,
}

/// The record of one step.
#[derive(Clone, Debug, PartialEq)]
pub struct StepRecord {
    /// Pressures and flows at its end.
    pub end: Instant,
    /// Largest imbalance of flow at a node, over the largest flow.
    pub imbalance: f64,
    /// When it starts, s after the first step's start.
    pub start_s: f64,
    /// When it ends, s.
    pub end_s: f64,
    /// What moved while it lasted; `None` for a step that lasts no time.
    pub moved: Option<MovedRecord>,
}

/// What moved while a step lasted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MovedRecord {
    /// When new liquid arrived at each tip, in the plumbing's order.
    pub arrivals: Vec<Arrival>,
    /// Strength of the tank that feeds the machine at the step's start: what tips come to.
    pub fed_strength: f64,
    /// Volume sprayed below full strength, m3, and the product in it, m3 of full strength.
    pub sprayed_weak_m3: f64,
    /// Product in the weak spray, m3 of full strength.
    pub product_weak_m3: f64,
    /// All volume sprayed, m3.
    pub sprayed_m3: f64,
    /// All product sprayed, m3 of full strength.
    pub product_sprayed_m3: f64,
    /// Strength at each tip at the end.
    pub tip_strength: Vec<f64>,
    /// Mean strength of each branch that is a line at the end.
    pub line_strength: Vec<Option<f64>>,
    /// Strength of each tank at the end.
    pub tank_strength: Vec<f64>,
    /// Product that came or went without account, over what was held and moved.
    pub product_error: f64,
    /// Strengths over time.
    pub series: Series,
}

/// When new liquid arrived at a tip's body, s after the step's start; `None`: not while it lasted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Arrival {
    /// First of it: 1 % of the way from old to new strength.
    pub first_s: Option<f64>,
    /// Half way.
    pub half_s: Option<f64>,
    /// Full strength.
    pub full_s: Option<f64>,
}

/// Strengths over time, thinned out so that long steps stay small.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Series {
    /// Times, s after the step's start.
    pub time_s: Vec<f64>,
    /// Strength at each tip at each time.
    pub tips: Vec<Vec<f32>>,
}
