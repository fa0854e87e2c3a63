//! Where everything of a machine is on a drawing, whatever the machine.

use sim_core::plumbing::{NodeId, Plumbing, SectionId, TankId};

/// A point of the sheet: x as a share of half the boom, y as a height.
pub type SheetPoint = (f64, f64);

/// A path on the sheet.
pub type Path = Vec<SheetPoint>;

/// Where a sheet is drawn, px: left, top, right, bottom.
pub type Canvas = (f64, f64, f64, f64);

/// What a canvas shows of the sheet: x from and to, heights from and to.
pub(super) const LEFT: f64 = -1.04;
pub(super) const RIGHT: f64 = 1.1;
pub(super) const LOWEST: f64 = -8.0;
pub(super) const HIGHEST: f64 = 100.0;

/// Height of the tubes of a boom.
pub const TUBE: f64 = 62.0;

/// Pixel of a point of the sheet on `canvas`.
pub fn placed((x, y): SheetPoint, (left, top, right, bottom): Canvas) -> (i32, i32) {
    let across = (x - LEFT) / (RIGHT - LEFT);
    let up = share_of_height(y);
    ((left + across * (right - left)).round() as i32, (bottom - up * (bottom - top)).round() as i32)
}

/// Height `y` of the sheet as a share of a canvas's height.
pub fn share_of_height(y: f64) -> f64 {
    (y - LOWEST) / (HIGHEST - LOWEST)
}

/// A tank as drawn.
#[derive(Clone, Copy, Debug)]
pub struct TankBox {
    /// Which tank.
    pub tank: TankId,
    /// Its lower left and its upper right corner.
    pub corners: [SheetPoint; 2],
}

impl TankBox {
    /// Its corners on `canvas`, upper left and lower right.
    pub fn on(&self, canvas: Canvas) -> [(i32, i32); 2] {
        let [(left, bottom), (right, top)] = self.corners.map(|corner| placed(corner, canvas));
        [(left, top), (right, bottom)]
    }
}

/// The sheet of a machine: every branch has a path.
#[derive(Debug)]
pub struct Sheet {
    /// A path for each branch, along its positive direction.
    pub paths: Vec<Path>,
    /// The foot of each tip.
    pub tips: Vec<SheetPoint>,
    /// Tanks that are drawn as boxes.
    pub tanks: Vec<TankBox>,
    /// Nodes drawn as bars: a node and the two ends of its bar.
    pub bars: Vec<(NodeId, Path)>,
    /// Arrows where compressed air can enter: a node, and from tail to head.
    pub air: Vec<(NodeId, Path)>,
    /// Nodes that nothing else on the drawing names, and where they are.
    pub nodes: Vec<(NodeId, SheetPoint)>,
    /// What is drawn as a boom, if the machine has one.
    pub boom: Option<BoomSheet>,
}

/// The boom of a sheet: tubes and tips are at their true places along it.
#[derive(Debug)]
pub struct BoomSheet {
    /// Half the width of the boom, m.
    pub half_m: f64,
    /// Where the section valves meet.
    pub header: NodeId,
    /// Branches of the bottom row from the tank on.
    pub row: Vec<usize>,
    /// Branches that are no part of the usual boom, attached where they belong.
    pub strangers: Vec<usize>,
}

impl BoomSheet {
    /// Middle between the first and the last tip of `section`, as a share of half the boom.
    pub fn middle_of(&self, plumbing: &Plumbing, section: SectionId) -> Option<f64> {
        let mut tips = plumbing.tips.iter().filter(|tip| tip.section == Some(section));
        let first = tips.next()?;
        let last = tips.next_back().unwrap_or(first);
        Some(0.5 * (first.x_m + last.x_m) / self.half_m)
    }
}

impl Sheet {
    /// The line that fills a bar at `node`: one of no section there, or the last line of the row.
    pub fn line_at(&self, plumbing: &Plumbing, node: NodeId) -> Option<usize> {
        let is_line = |i: &usize| plumbing.branches[*i].part.line().is_some();
        let touches =
            |i: &usize| [plumbing.branches[*i].from, plumbing.branches[*i].to].contains(&node);
        let at_node: Vec<usize> =
            (0..plumbing.branches.len()).filter(is_line).filter(touches).collect();
        let shared = at_node.iter().find(|i| plumbing.branches[**i].section.is_none()).copied();
        let of_row = || {
            let boom = self.boom.as_ref().filter(|boom| boom.header == node)?;
            boom.row.iter().rev().copied().find(is_line)
        };
        shared.or_else(of_row).or_else(|| at_node.first().copied())
    }

    /// The highest point of any line, tip or tank.
    pub fn highest(&self) -> f64 {
        let tanks = self.tanks.iter().map(|tank| &tank.corners[1]);
        let points = self.paths.iter().flatten().chain(&self.tips).chain(tanks);
        points.map(|point| point.1).fold(0.0, f64::max)
    }
}
