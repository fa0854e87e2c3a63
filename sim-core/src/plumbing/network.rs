//! The network: nodes, branches, tips, tanks, gauges, sections.

use super::{AirSupply, BranchId, NodeId, Part, SectionId, TankId, Tip};

/// A machine's plumbing, checked and resolved.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plumbing {
    /// Points where lines and parts meet.
    pub nodes: Vec<Node>,
    /// Lines and parts, each between two nodes.
    pub branches: Vec<Branch>,
    /// Tips, each at a node.
    pub tips: Vec<Tip>,
    /// Tanks; nodes connect to them through [`Node::tank`].
    pub tanks: Vec<Tank>,
    /// Tees whose losses depend on how the flow splits.
    pub tees: Vec<Tee>,
    /// Pressure gauges.
    pub gauges: Vec<Gauge>,
    /// Sections of the boom, left to right.
    pub sections: Vec<Section>,
    /// Compressed air, if the machine has any.
    pub air: Option<AirSupply>,
}

/// A point of the network.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Unique name.
    pub name: String,
    /// Height above the scenario's datum (the level boom), m.
    pub elevation_m: f64,
    /// Position along the boom, m, to the right of the machine's centre; `None` off the boom.
    pub x_m: Option<f64>,
    /// The tank this node opens into, if any: its pressure is then given by the liquid above it.
    pub tank: Option<TankConnection>,
}

/// How a node opens into a tank.
///
/// A node below the liquid surface is at the hydrostatic pressure of the liquid above it; one above
/// the surface discharges freely at atmospheric pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TankConnection {
    /// Which tank.
    pub tank: TankId,
}

/// A vented tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// Unique name.
    pub name: String,
    /// Nominal volume, m3, if given.
    pub capacity_m3: Option<f64>,
    /// Volume held at the start, m3, if given.
    pub holds_m3: Option<f64>,
    /// Elevation of the liquid surface at the start, m.
    pub surface_m: f64,
    /// Volume that its outlet cannot draw, m3, >= 0.
    pub heel_m3: f64,
    /// Concentration at the start, 0 to 1, where it differs from the scenario's.
    pub concentration: Option<f64>,
}

/// Which stretch of the machine a branch belongs to.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, schemars::JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Tank to pump.
    Suction,
    /// Pump to sections.
    Feed,
    /// The tubes that carry the tips.
    Boom,
    /// Section ends back to the tank.
    Return,
    /// Agitation, bypass and relief: pump outlet straight back to the tank.
    Tank,
    /// Anything else a long-form scenario holds.
    Other,
}

/// A line or part between two nodes. Positive flow runs from `from` to `to`.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    /// Unique name.
    pub name: String,
    /// Upstream node of a positive flow.
    pub from: NodeId,
    /// Downstream node of a positive flow.
    pub to: NodeId,
    /// What it is.
    pub part: Part,
    /// Which stretch of the machine it belongs to.
    pub side: Side,
    /// The section it serves, if one.
    pub section: Option<SectionId>,
}

/// A tee of equal bores whose losses follow the split of flow (Gardel 1957): two arms in line and
/// one at a right angle.
#[derive(Clone, Debug, PartialEq)]
pub struct Tee {
    /// Where the three lines meet.
    pub node: NodeId,
    /// The two arms in line.
    pub run: [BranchId; 2],
    /// The arm at a right angle.
    pub side_branch: BranchId,
}

/// A pressure gauge; it reads the static pressure at its node.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// Unique name.
    pub name: String,
    /// Where it is screwed in.
    pub node: NodeId,
}

/// A section of the boom.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Unique name.
    pub name: String,
    /// The valve that opens and closes the section's feed, if it has one.
    pub valve: Option<BranchId>,
    /// The node where its tube is fed, if known.
    pub feed_end: Option<NodeId>,
    /// The node of its tube farthest from the feed along the tube, if known. A centre-fed section
    /// has two far ends.
    pub far_ends: Vec<NodeId>,
}

/// Liquid volume of the lines of each side, m3.
pub type VolumeBySide = Vec<(Side, f64)>;

impl Plumbing {
    /// The branch at `id`.
    pub fn branch(&self, id: BranchId) -> &Branch {
        &self.branches[id.index()]
    }

    /// The node at `id`.
    pub fn node(&self, id: NodeId) -> &Node {
        &self.nodes[id.index()]
    }

    /// The tank at `id`.
    pub fn tank(&self, id: TankId) -> &Tank {
        &self.tanks[id.index()]
    }

    /// The branch called `name`.
    pub fn branch_named(&self, name: &str) -> Option<BranchId> {
        self.branches.iter().position(|branch| branch.name == name).map(BranchId::at)
    }

    /// The node called `name`.
    pub fn node_named(&self, name: &str) -> Option<NodeId> {
        self.nodes.iter().position(|node| node.name == name).map(NodeId::at)
    }

    /// Where a pressure called `name` is: the node of that name, or that of the gauge.
    pub(crate) fn gauge_or_node(&self, name: &str) -> Option<NodeId> {
        let gauge = self.gauges.iter().find(|gauge| gauge.name == name);
        self.node_named(name).or(gauge.map(|gauge| gauge.node))
    }

    /// Volume of the lines, m3, side by side, in the order of [`Side`]; sides without lines are
    /// left out.
    pub fn volume_by_side(&self) -> VolumeBySide {
        use Side::{Boom, Feed, Other, Return, Suction, Tank};
        let volume = |side| {
            let of_side = self.branches.iter().filter(|b| b.side == side);
            of_side.filter_map(|b| b.part.line()).map(super::Line::volume_m3).sum::<f64>()
        };
        let sides = [Suction, Feed, Boom, Return, Tank, Other];
        sides.into_iter().map(|side| (side, volume(side))).filter(|(_, v)| *v > 0.0).collect()
    }
}
