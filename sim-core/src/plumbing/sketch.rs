//! Building a plumbing piece by piece, by name.

use super::{
    Branch, BranchId, Gauge, Line, Node, NodeId, Part, Plumbing, SectionId, ShutOff, Side, Tank,
    TankConnection, TankId, Tee, Tip, TipId,
};

/// A plumbing under construction. Names must be unique within their kind; the sketch does not check.
///
/// ```
/// use sim_core::plumbing::{Line, Sketch};
/// let mut sketch = Sketch::default();
/// let tank = sketch.tank("tank", 2.0);
/// let bottom = sketch.tank_node("outlet", tank, 0.0);
/// let end = sketch.node("end", 0.0);
/// sketch.line("hose", bottom, end, Line::plain(0.025, 10.0));
/// assert_eq!(sketch.finish().branches.len(), 1);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Sketch {
    plumbing: Plumbing,
}

impl Sketch {
    /// Adds a node at `elevation_m`.
    pub fn node(&mut self, name: &str, elevation_m: f64) -> NodeId {
        self.plumbing.nodes.push(Node { name: name.into(), elevation_m, x_m: None, tank: None });
        NodeId::at(self.plumbing.nodes.len() - 1)
    }

    /// Adds a tank with its surface at `surface_m`.
    pub fn tank(&mut self, name: &str, surface_m: f64) -> TankId {
        let (capacity_m3, holds_m3) = (None, None);
        let (name, heel_m3, concentration) = (name.into(), 0.0, None);
        self.plumbing.tanks.push(Tank {
            name,
            capacity_m3,
            holds_m3,
            surface_m,
            heel_m3,
            concentration,
        });
        TankId::at(self.plumbing.tanks.len() - 1)
    }

    /// Adds a node that opens into `tank` at `elevation_m`.
    pub fn tank_node(&mut self, name: &str, tank: TankId, elevation_m: f64) -> NodeId {
        let node = self.node(name, elevation_m);
        self.plumbing.nodes[node.index()].tank = Some(TankConnection { tank });
        node
    }

    /// Adds a branch.
    pub fn branch(&mut self, name: &str, from: NodeId, to: NodeId, part: Part) -> BranchId {
        let (side, section) = (Side::Other, None);
        self.plumbing.branches.push(Branch { name: name.into(), from, to, part, side, section });
        BranchId::at(self.plumbing.branches.len() - 1)
    }

    /// Says which stretch of the machine and which section a branch belongs to.
    pub fn place(&mut self, branch: BranchId, side: Side, section: Option<SectionId>) {
        let branch = &mut self.plumbing.branches[branch.index()];
        (branch.side, branch.section) = (side, section);
    }

    /// Adds a line.
    pub fn line(&mut self, name: &str, from: NodeId, to: NodeId, line: Line) -> BranchId {
        self.branch(name, from, to, Part::Line(line))
    }

    /// Adds a plain tip rated `flow_m3_s` of water at `at_pa`.
    pub fn tip(&mut self, name: &str, node: NodeId, flow_m3_s: f64, at_pa: f64) -> TipId {
        self.plumbing.tips.push(Tip {
            name: name.into(),
            node,
            section: None,
            x_m: 0.0,
            size: None,
            rated_flow_m3_s: flow_m3_s,
            rated_at_pa: at_pa,
            body_kv_si: None,
            shut_off: ShutOff::Open,
            duty: 1.0,
            wear: 0.0,
            window_pa: None,
            position: None,
            in_use: true,
        });
        TipId::at(self.plumbing.tips.len() - 1)
    }

    /// Adds a tee.
    pub fn tee(&mut self, node: NodeId, run: [BranchId; 2], side_branch: BranchId) {
        self.plumbing.tees.push(Tee { node, run, side_branch });
    }

    /// Adds a gauge.
    pub fn gauge(&mut self, name: &str, node: NodeId) {
        self.plumbing.gauges.push(Gauge { name: name.into(), node });
    }

    /// The plumbing as it is.
    pub fn finish(self) -> Plumbing {
        self.plumbing
    }

    /// The plumbing under construction, for what the sketch has no word for.
    pub fn plumbing_mut(&mut self) -> &mut Plumbing {
        &mut self.plumbing
    }
}
