//! Contents of a plumbing that holds air as well as liquid.
//!
//! Each line holds a column of liquid with air at one end or both, or a layer on its wall with air above it.
//! Air belongs to the nodes: the air of a line without a column half to either end, the air beside a column to
//! the end it stands at. A node touched by air is airy: what passes it is shared among what leaves in
//! proportion to volume, air and liquid alike (ideal splitting: Taitel, Gurevich & Barnea 2010, a model that
//! departs only slightly from what was measured on four pipes at a manifold). Pressure of the air follows from
//! its mass and volume at one temperature.

mod events;
mod fill;
mod layer;
mod left;
mod masses;
mod part_line;
mod start;
mod step;

use super::state::Contents;
use crate::air::Supply;
use crate::fluids::{ATMOSPHERE_PA, Liquid};
use crate::plumbing::Plumbing;
use part_line::{End, PartLine};

pub use left::LineLeft;
pub use start::{Caught, suction_lines};

/// Air that any airy node holds beside that of its lines, m3: the inside of its fittings.
const NODE_AIR_M3: f64 = 1e-6;

/// Air in the plumbing, and the liquid of lines that hold air.
#[derive(Clone, Debug)]
pub(super) struct Airy {
    pub(super) liquid: Liquid,
    /// Lines that hold air, or might in this step.
    pub(super) part: Vec<Option<PartLine>>,
    /// Whether each node holds air; open mouths of tanks above the liquid do always.
    pub(super) airy: Vec<bool>,
    /// Air at each node that no tank holds, kg.
    pub(super) mass_kg: Vec<f64>,
    /// Absolute pressure of each node, Pa.
    pub(super) absolute_pa: Vec<f64>,
    /// Share of liquid, by volume, in what left each airy node last.
    pub(super) liquid_share: Vec<f64>,
    /// Liquid that waits at a node because nothing left it, and the product in it.
    pub(super) waiting: Vec<super::tanks::Amount>,
    /// Liquid let into each part-filled line in this step, at the end where it flows in.
    pub(super) let_in: Vec<super::tanks::Amount>,
    /// Air through each branch in this step, kg, from its `from` to its `to` node.
    pub(super) passed_kg: Vec<f64>,
    pub(super) supply: Option<Supply>,
    pub(super) air: AirAccount,
    /// Lines whose column was gone in the last step.
    pub(super) broken_through: Vec<usize>,
    /// Lines whose air came to be shared otherwise in the last step, and what the node at its `from` end had of it
    /// before.
    pub(super) shifted: Vec<(usize, f64)>,
    /// Whether a front reached a node or a bore was closed in the last step.
    pub(super) happened: bool,
    pub(super) use_holdup: bool,
    pub(super) fixed_front: Option<f64>,
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
    pub fn net_kg(&self) -> f64 {
        self.supplied_kg + self.drawn_kg - self.out_of_tips_kg - self.to_tanks_kg - self.carried_kg
    }
}

impl Airy {
    /// Air and liquid in `plumbing` whose lines are all full so far.
    pub(super) fn new(plumbing: &Plumbing, liquid: &Liquid) -> Self {
        let (nodes, branches) = (plumbing.nodes.len(), plumbing.branches.len());
        let open_mouth = |node: &crate::plumbing::Node| {
            node.tank.is_some_and(|c| node.elevation_m > plumbing.tank(c.tank).surface_m)
        };
        Self {
            liquid: liquid.clone(),
            part: vec![None; branches],
            airy: plumbing.nodes.iter().map(open_mouth).collect(),
            mass_kg: vec![0.0; nodes],
            absolute_pa: vec![ATMOSPHERE_PA; nodes],
            liquid_share: vec![0.0; nodes],
            waiting: vec![super::tanks::Amount::default(); nodes],
            let_in: vec![super::tanks::Amount::default(); branches],
            passed_kg: vec![0.0; branches],
            supply: None,
            air: AirAccount::default(),
            broken_through: Vec::new(),
            shifted: Vec::new(),
            happened: false,
            use_holdup: true,
            fixed_front: None,
        }
    }

    /// Air of node `node`'s lines and fittings, m3.
    pub(super) fn node_air_m3(&self, node: usize, arms: &[usize], plumbing: &Plumbing) -> f64 {
        let of_line = |&i: &usize| {
            let branch = &plumbing.branches[i];
            let Some(part) = &self.part[i] else { return 0.0 };
            let at = |end: End, id: crate::plumbing::NodeId| {
                if id.index() == node { part.free_m3(end) } else { 0.0 }
            };
            at(0, branch.from) + at(1, branch.to)
        };
        let room = arms.iter().map(of_line).sum::<f64>() - self.waiting[node].liquid_m3;
        NODE_AIR_M3 + room.max(0.0)
    }

    /// All air at nodes that no tank holds, kg.
    pub(super) fn held_kg(&self) -> f64 {
        self.mass_kg.iter().sum()
    }
}

impl Contents<'_> {
    /// Whether any line or node, open mouths of tanks apart, holds air.
    pub fn holds_air(&self) -> bool {
        let Some(airy) = &self.airy else { return false };
        let node = |(i, airy): (usize, &bool)| *airy && self.plumbing.nodes[i].tank.is_none();
        airy.part.iter().flatten().any(|part| !part.is_full())
            || airy.airy.iter().enumerate().any(node)
    }
}
