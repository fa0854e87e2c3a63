//! A network without a boom's shape in layers from the tanks on, its lines level or upright.

use super::names::{SMALL, width_of};
use super::rows::{HIGH, LOW, PX};
use super::sheet::{Path, Sheet, SheetPoint, TankBox};
use graphlay::{
    CycleStrategy, Edge, Effort, Graph, Layout, LayoutOptions, Margins, Node, NodeId as Vertex,
    PortSides, Size,
};
use sim_core::plumbing::{NodeId, Plumbing};

/// How much a small network is drawn larger than it need be.
const MOST_STRETCH: f64 = 1.7;
/// Room between two lines that end at the same node, px, and sizes of nodes and tanks.
const PORT: f64 = 24.0;
const DOT: f64 = 10.0;
const TANK: (f64, f64) = (86.0, 62.0);
/// Room for the tips above a node, and for the name below it.
const TIPS: f64 = 30.0;
const NAME: f64 = 26.0;
/// Letters of a flow or a pressure behind a name.
const FIGURE: &str = " 100.00 ";
/// Room between two layers beside the names of what joins them, and the longest of these that has room everywhere, px.
const GAP: f64 = 40.0;
const LONGEST: f64 = 170.0;
/// Height by which the end of a line is moved to make it level.
const SNAP: f64 = 1.5;
/// Branches above which nodes are set out in rows: layers would take seconds.
const TOO_MANY: usize = 400;

/// The layers of `plumbing`; nothing where they cannot be had.
pub(super) fn layers(plumbing: &Plumbing) -> Option<Sheet> {
    if plumbing.branches.len() > TOO_MANY {
        return None;
    }
    let (vertices, graph) = graph(plumbing);
    let mut options = LayoutOptions::layered_default();
    options.effort = Effort::Fast;
    options.routing.bundle_parallel = false;
    options.routing.port_sides = PortSides::FacingOnly;
    options.cycles.strategy = CycleStrategy::FollowFlow;
    options.spacing.port_gap = PORT;
    options.spacing.port_stroke_clear = PORT;
    options.spacing.dummy_gap = PORT;
    options.spacing.layer_gap = gap(plumbing);
    options.spacing.node_gap = 30.0;
    options.wrap.viewport_aspect = PX.0 / PX.1;
    let layout = graphlay::layout(&graph, &options).ok()?;
    Some(on_sheet(plumbing, &vertices, &layout))
}

/// Room between two layers: most names of lines and parts fit into it.
fn gap(plumbing: &Plumbing) -> f64 {
    let width = |branch: &sim_core::plumbing::Branch| width_of(&branch.name, SMALL);
    let mut widths: Vec<f64> = plumbing.branches.iter().map(width).collect();
    widths.sort_unstable_by(f64::total_cmp);
    let most = widths.get(widths.len() * 3 / 4).copied().unwrap_or(0.0);
    GAP + (most + width_of(FIGURE, SMALL)).min(LONGEST)
}

/// The vertex of each node, and what is laid out: a tank is one vertex, whatever opens into it.
fn graph(plumbing: &Plumbing) -> (Vec<usize>, Graph) {
    let tanks = plumbing.tanks.len();
    let vertex = |(i, node): (usize, &sim_core::plumbing::Node)| {
        node.tank.map_or(tanks + i, |of| of.tank.index())
    };
    let numbered: Vec<usize> = plumbing.nodes.iter().enumerate().map(vertex).collect();
    // Vertices in the order of nodes, each once.
    let mut used: Vec<usize> = numbered.clone();
    used.sort_unstable();
    used.dedup();
    let vertices: Vec<usize> =
        numbered.iter().map(|number| used.partition_point(|other| other < number)).collect();
    let mut ends = vec![(0usize, 0usize); used.len()];
    for branch in &plumbing.branches {
        ends[vertices[branch.from.index()]].0 += 1;
        ends[vertices[branch.to.index()]].1 += 1;
    }
    let mut nodes: Vec<Node> = vec![Node::default(); used.len()];
    for (i, node) in plumbing.nodes.iter().enumerate() {
        let (from, to) = ends[vertices[i]];
        let ports = PORT * (from.max(to) as f64 - 1.0).max(0.0);
        let tips = plumbing.tips.iter().any(|tip| tip.node.index() == i);
        let beside = 0.25 * width_of(&node.name, SMALL);
        nodes[vertices[i]] = if node.tank.is_some() {
            let size = Size::new(TANK.0, TANK.1.max(ports + PORT));
            Node { size, ..Node::default() }
        } else {
            let margin = Margins {
                along_neg: beside,
                along_pos: beside,
                cross_neg: if tips { TIPS } else { 0.0 },
                cross_pos: NAME,
            };
            Node { size: Size::new(DOT, DOT + ports), margin, ..Node::default() }
        };
    }
    let edge = |branch: &sim_core::plumbing::Branch| {
        let [from, to] = [branch.from, branch.to].map(|end| Vertex(vertices[end.index()] as u32));
        // Layers begin at the tanks: what comes back to one is drawn against them.
        let back = plumbing.node(branch.to).tank.is_some();
        Edge { thickness: DOT, reverse_for_ranking: back, ..Edge::new(from, to) }
    };
    let edges = plumbing.branches.iter().map(edge).collect();
    (vertices, Graph { nodes, edges })
}

/// `layout` on the sheet.
fn on_sheet(plumbing: &Plumbing, vertices: &[usize], layout: &Layout) -> Sheet {
    let (low, high) = (layout.bounds.min, layout.bounds.max);
    let fit = |size: f64, room: f64| (room / size.max(1.0)).min(MOST_STRETCH);
    let scale = (fit(high.x - low.x, PX.0), fit(high.y - low.y, PX.1));
    let middle = (0.5 * (low.x + high.x), 0.5 * (low.y + high.y));
    let place = |x: f64, y: f64| {
        let px = ((x - middle.0) * scale.0, (y - middle.1) * scale.1);
        let across = 0.5 * (LOW.0 + HIGH.0) + px.0 / PX.0 * (HIGH.0 - LOW.0);
        (across, 0.5 * (LOW.1 + HIGH.1) - px.1 / PX.1 * (HIGH.1 - LOW.1))
    };
    let centre = |node: NodeId| layout.nodes[vertices[node.index()]].center;
    let is_tank = |node: NodeId| plumbing.node(node).tank.is_some();
    // Lines of a node without a tank meet in its middle.
    let path = |(branch, route): (&sim_core::plumbing::Branch, &graphlay::EdgeRoute)| {
        let mut path: Path = route.points.iter().map(|at| place(at.x, at.y)).collect();
        square_up(&mut path);
        if let (Some(first), Some(last)) = (path.first().copied(), path.last().copied()) {
            let [from, to] = [branch.from, branch.to].map(|end| place(centre(end).x, 0.0).0);
            if !is_tank(branch.from) {
                path.insert(0, (from, first.1));
            }
            if !is_tank(branch.to) {
                path.push((to, last.1));
            }
        }
        path
    };
    let paths: Vec<Path> = plumbing.branches.iter().zip(&layout.edges).map(path).collect();
    let mut sheet = Sheet {
        paths,
        tips: Vec::new(),
        tanks: tanks(plumbing, vertices, layout, place),
        bars: Vec::new(),
        air: Vec::new(),
        nodes: Vec::new(),
        boom: None,
    };
    for i in 0..plumbing.nodes.len() {
        let node = NodeId::at(i);
        if is_tank(node) {
            continue;
        }
        let at = place(centre(node).x, centre(node).y);
        let (bottom, top) = reach(plumbing, &sheet.paths, node).unwrap_or((at.1, at.1));
        if top > bottom {
            sheet.bars.push((node, vec![(at.0, bottom), (at.0, top)]));
        }
        sheet.nodes.push((node, (at.0, bottom)));
    }
    sheet.tips = plumbing.tips.iter().map(|tip| foot(&sheet, tip.node)).collect();
    sheet
}

/// Makes every piece of `path` level or upright; where on a node a line ends makes no difference.
fn square_up(path: &mut Path) {
    let slants =
        |a: SheetPoint, b: SheetPoint| (a.0 - b.0).abs() > 1e-9 && (a.1 - b.1).abs() > 1e-9;
    let near = |a: SheetPoint, b: SheetPoint| (a.1 - b.1).abs() < SNAP;
    let last = path.len().saturating_sub(1);
    if last > 0 && slants(path[0], path[1]) && near(path[0], path[1]) {
        path[0].1 = path[1].1;
    }
    if last > 0 && slants(path[last - 1], path[last]) && near(path[last - 1], path[last]) {
        path[last].1 = path[last - 1].1;
    }
    for k in (1..path.len()).rev() {
        let (before, at) = (path[k - 1], path[k]);
        if slants(before, at) {
            path.insert(k, (at.0, before.1));
        }
    }
}

/// Where a tip at `node` is: on top of its bar, or on the node.
fn foot(sheet: &Sheet, node: NodeId) -> SheetPoint {
    let bar = sheet.bars.iter().find(|(of, _)| *of == node).map(|(_, bar)| bar[1]);
    let point = || sheet.nodes.iter().find(|(of, _)| *of == node).map(|(_, at)| *at);
    bar.or_else(point).unwrap_or((0.0, 0.0))
}

/// The heights between which lines end at `node`.
fn reach(plumbing: &Plumbing, paths: &[Path], node: NodeId) -> Option<(f64, f64)> {
    let ends = plumbing.branches.iter().zip(paths).flat_map(|(branch, path)| {
        let from = path.first().filter(|_| branch.from == node);
        [from, path.last().filter(|_| branch.to == node)]
    });
    let mut heights = ends.flatten().map(|point| point.1);
    let first = heights.next()?;
    Some(heights.fold((first, first), |(low, high), y| (low.min(y), high.max(y))))
}

/// The tanks that any node opens into.
fn tanks(
    plumbing: &Plumbing,
    vertices: &[usize],
    layout: &Layout,
    place: impl Fn(f64, f64) -> SheetPoint,
) -> Vec<TankBox> {
    let boxed = |tank: usize| {
        let opens =
            |node: &sim_core::plumbing::Node| node.tank.is_some_and(|of| of.tank.index() == tank);
        let at = layout.nodes[vertices[plumbing.nodes.iter().position(opens)?]];
        let half = (0.5 * at.size.width, 0.5 * at.size.height);
        let corners = [
            place(at.center.x - half.0, at.center.y + half.1),
            place(at.center.x + half.0, at.center.y - half.1),
        ];
        Some(TankBox { tank: sim_core::plumbing::TankId::at(tank), corners })
    };
    (0..plumbing.tanks.len()).filter_map(boxed).collect()
}
