//! Contents of a plumbing that holds air as well as liquid.
//!
//! Each line holds a column of liquid with air at one end or both, or a layer on its wall with air above it.
//! Air belongs to the nodes: the air of a line without a column half to either end, the air beside a column to
//! the end it is at. What passes a node that air has reached is shared among what leaves in
//! proportion to volume, air and liquid alike (ideal splitting: Taitel, Gurevich & Barnea 2010, a model that
//! departs only slightly from what was measured on four pipes at a manifold). Pressure of the air follows from
//! its mass and volume at one temperature.

mod agreement;
mod drain;
mod events;
mod fill;
mod homogeneous;
mod layer;
mod left;
mod line;
mod masses;
mod phases;
mod start;
mod step;

use super::tanks::Amount;
use crate::air::Supply;
use crate::fluids::{AbsolutePressure, GaugePressure};
use crate::hydraulics::FlowState;
use crate::plumbing::{BranchId, Plumbing};

pub(crate) use agreement::Bracket;
pub use left::LineLeft;
pub(super) use line::AirLine;
pub use phases::LinePhases;

/// Air that any node with air holds beside that of its lines, m3: the inside of its fittings.
const NODE_AIR_M3: f64 = 1e-6;
/// Lowest pressure that air is counted at: what is next to nothing must not become less.
const LEAST: AbsolutePressure = AbsolutePressure { pa: 1.0 };

/// Air at the nodes of a plumbing, and its supply.
#[derive(Clone, Debug)]
pub(super) struct AirState {
    /// Whether any air is counted. Where not, no node holds any and no line is a [`AirLine`].
    pub(super) takes_part: bool,
    /// Whether each node holds air; open mouths of tanks above the liquid do always.
    pub(super) at: Vec<bool>,
    /// Air at each node that no tank holds, kg.
    pub(super) mass_kg: Vec<f64>,
    /// Pressure of each node.
    pub(super) pressure: Vec<AbsolutePressure>,
    /// Share of liquid, by volume, in what left each node with air last.
    pub(super) liquid_share: Vec<f64>,
    /// Flow of liquid that reaches each node, m3/s: scratch.
    arriving_m3_s: Vec<f64>,
    /// Whether each node has a part that holds nothing.
    beside_part: Vec<bool>,
    /// Liquid that waits at a node because nothing left it, and the product in it.
    pub(super) waiting: Vec<Amount>,
    /// Liquid let into each line that holds air in this move, at the end where it flows in.
    pub(super) let_in: Vec<Amount>,
    /// Air through each branch in this move, kg, from its `from` to its `to` node.
    pub(super) passed_kg: Vec<f64>,
    pub(super) supply: Option<Supply>,
    pub(super) account: AirAccount,
    /// Lines whose column was gone in the last move.
    pub(super) broken_through: Vec<BranchId>,
    /// Lines whose air came to be shared otherwise in the last move, and what the node at its `from` end had of it
    /// before.
    pub(super) shifted: Vec<(usize, f64)>,
    /// Whether a front reached a node or a bore was closed in the last move.
    pub(super) happened: bool,
    /// Air caught in dead legs.
    pub(super) caught: Vec<Caught>,
}

/// Where air came from and went, kg.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AirAccount {
    /// From the supply, kg.
    pub supplied_kg: f64,
    /// From the surroundings, through open tips and tanks' mouths, kg.
    pub drawn_kg: f64,
    /// Out of tips, kg.
    pub out_of_tips_kg: f64,
    /// Into tanks, kg.
    pub to_tanks_kg: f64,
    /// Carried off as bubbles in the liquid, kg.
    pub carried_kg: f64,
}

impl AirAccount {
    /// What came and went since `before`.
    pub fn since(&self, before: &Self) -> Self {
        Self {
            supplied_kg: self.supplied_kg - before.supplied_kg,
            drawn_kg: self.drawn_kg - before.drawn_kg,
            out_of_tips_kg: self.out_of_tips_kg - before.out_of_tips_kg,
            to_tanks_kg: self.to_tanks_kg - before.to_tanks_kg,
            carried_kg: self.carried_kg - before.carried_kg,
        }
    }

    /// What came in less what went out, kg.
    pub(crate) fn net_kg(&self) -> f64 {
        self.supplied_kg + self.drawn_kg - self.out_of_tips_kg - self.to_tanks_kg - self.carried_kg
    }
}

/// Air caught in a dead leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Caught {
    /// The leg.
    pub branch: BranchId,
    /// Volume of the air at the pressure it came to rest at, m3.
    pub air_m3: f64,
    /// That pressure.
    pub pressure: AbsolutePressure,
}

impl AirState {
    /// No air anywhere.
    pub(super) fn new(plumbing: &Plumbing) -> Self {
        let (nodes, branches) = (plumbing.nodes.len(), plumbing.branches.len());
        Self {
            takes_part: false,
            at: vec![false; nodes],
            mass_kg: vec![0.0; nodes],
            pressure: vec![AbsolutePressure::ATMOSPHERE; nodes],
            liquid_share: vec![0.0; nodes],
            arriving_m3_s: Vec::new(),
            beside_part: beside_part(plumbing),
            waiting: vec![Amount::default(); nodes],
            let_in: vec![Amount::default(); branches],
            passed_kg: vec![0.0; branches],
            supply: None,
            account: AirAccount::default(),
            broken_through: Vec::new(),
            shifted: Vec::new(),
            happened: false,
            caught: Vec::new(),
        }
    }

    /// All air at nodes that no tank holds, kg.
    pub(super) fn held_kg(&self) -> f64 {
        self.mass_kg.iter().sum()
    }
}

/// Pressure of node `node` as the flow of `instant` has it.
fn solved_pressure(instant: &FlowState, node: usize) -> AbsolutePressure {
    GaugePressure { pa: instant.total_pressure_pa[node] }.absolute().max(LEAST)
}

/// Whether each node of `plumbing` has a part other than a line.
fn beside_part(plumbing: &Plumbing) -> Vec<bool> {
    let mut beside = vec![false; plumbing.nodes.len()];
    for branch in plumbing.branches.iter().filter(|branch| branch.part.line().is_none()) {
        (beside[branch.from.index()], beside[branch.to.index()]) = (true, true);
    }
    beside
}
