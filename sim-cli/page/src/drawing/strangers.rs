//! Lines and parts that are no part of the usual boom: each runs across the sheet between the places it joins.

use super::maze::{CELL, Maze, MazeCell};
use super::sheet::{LOWEST, Path, Sheet, SheetPoint, TUBE, TankBox};
use sim_core::plumbing::{NodeId, Plumbing};

/// Most strangers that a boom is drawn with: with more of them a network shows what is joined to what.
const MOST: usize = 48;
/// Cells that must be free around a new node and around a new tank, across and up.
const ROOM: (usize, usize) = (2, 2);
const TANK_ROOM: (usize, usize) = (6, 4);
/// Half the size of a new tank.
const HALF_TANK: (f64, f64) = (0.075, 4.5);
/// Steps to a new node for each branch that leads there, and at least.
const STEPS_A_BRANCH: usize = 7;
const LEAST_STEPS: usize = 8;
/// Where plumbing begins that nothing joins to the boom.
const APART: SheetPoint = (-0.6, 14.0);
/// Bands that tips, names of sections, and the bottom row with its names and what goes back under it have for themselves.
const BANDS: [[SheetPoint; 2]; 2] =
    [[(-1.0, TUBE), (1.0, TUBE + 7.0)], [(0.1, LOWEST), (0.84, 27.0)]];

/// Branches one after the other through nodes that nothing else is joined to.
struct Stretch {
    /// Its nodes, the first and the last included.
    nodes: Vec<usize>,
    branches: Vec<usize>,
}

/// What a stretch can begin or end at: points, each in its cell.
type Places = Vec<(MazeCell, SheetPoint)>;

struct StrangerDraft<'a> {
    plumbing: &'a Plumbing,
    maze: Maze,
    /// Where each node is drawn, nothing where it is not yet.
    places: Vec<Places>,
    /// Nodes that have got a place of their own.
    new: Vec<bool>,
}

/// Gives every branch of `sheet` that has none a path, and returns where nodes are; nothing where there are too many.
pub(super) fn attach(plumbing: &Plumbing, sheet: &mut Sheet) -> Option<Vec<Option<SheetPoint>>> {
    let missing: Vec<usize> =
        (0..sheet.paths.len()).filter(|i| sheet.paths[*i].is_empty()).collect();
    if missing.is_empty() {
        return Some(vec![None; plumbing.nodes.len()]);
    }
    if missing.len() > MOST {
        return None;
    }
    let mut draft = StrangerDraft::of(plumbing, sheet);
    let mut left = stretches(plumbing, &missing, &draft.places);
    while !left.is_empty() {
        let known =
            |stretch: &Stretch| stretch.ends().iter().any(|end| !draft.places[*end].is_empty());
        match left.iter().position(known) {
            Some(next) => draft.lay(left.remove(next), sheet)?,
            None => draft.begin(left[0].nodes[0], APART, sheet)?,
        }
    }
    let points: Vec<Option<SheetPoint>> =
        draft.places.iter().map(|places| places.first().map(|(_, point)| *point)).collect();
    let new = |(node, at): (usize, &Option<SheetPoint>)| Some((NodeId::at(node), (*at)?));
    sheet.nodes =
        points.iter().enumerate().filter(|(i, _)| draft.new[*i]).filter_map(new).collect();
    Some(points)
}

impl Stretch {
    fn ends(&self) -> [usize; 2] {
        [self.nodes[0], self.nodes[self.nodes.len() - 1]]
    }
}

impl<'a> StrangerDraft<'a> {
    /// What `sheet` holds so far.
    fn of(plumbing: &'a Plumbing, sheet: &Sheet) -> Self {
        let mut maze = Maze::new();
        sheet
            .paths
            .iter()
            .chain(sheet.bars.iter().map(|(_, bar)| bar))
            .for_each(|path| maze.draw(path));
        for [low, high] in BANDS {
            maze.keep_clear(low, high);
        }
        let nodes = plumbing.nodes.len();
        let (places, new) = (vec![Vec::new(); nodes], vec![false; nodes]);
        let mut draft = Self { plumbing, maze, places, new };
        for (branch, path) in plumbing.branches.iter().zip(&sheet.paths) {
            for (node, point) in [(branch.from, path.first()), (branch.to, path.last())] {
                let places = &mut draft.places[node.index()];
                places.extend(
                    point.filter(|_| places.is_empty()).map(|at| (draft.maze.cell(*at), *at)),
                );
            }
        }
        for (node, bar) in &sheet.bars {
            let (low, high) = (bar[0], bar[1]);
            let cells = draft.maze.within(low, high).into_iter();
            let along = |cell| {
                let x = draft.maze.middle(cell).0;
                (x > low.0 && x < high.0).then_some((cell, (x, low.1)))
            };
            draft.places[node.index()] = cells.filter_map(along).collect();
        }
        for tank in &sheet.tanks {
            draft.tank(*tank);
        }
        draft
    }

    /// A tank that is drawn: nothing passes through it, and its nodes are all along its sides.
    fn tank(&mut self, TankBox { tank, corners: [low, high] }: TankBox) {
        let cells = self.maze.shut(low, high).into_iter();
        let side = |cell: MazeCell| {
            let (x, y) = self.maze.middle(cell);
            let sides = [
                (x - low.0, CELL.0, (low.0, y)),
                (high.0 - x, CELL.0, (high.0, y)),
                (y - low.1, CELL.1, (x, low.1)),
                (high.1 - y, CELL.1, (x, high.1)),
            ];
            let near = sides.into_iter().find(|(away, within, _)| away < within);
            near.map(|(_, _, point)| (cell, point))
        };
        let inner: Places = cells.filter_map(side).collect();
        for (node, places) in self.plumbing.nodes.iter().zip(&mut self.places) {
            if node.tank.is_some_and(|of| of.tank == tank) {
                places.clone_from(&inner);
            }
        }
    }

    /// Draws what begins at `node` at the free place nearest to `near`.
    fn begin(&mut self, node: usize, near: SheetPoint, sheet: &mut Sheet) -> Option<()> {
        let start = self.maze.cell(near);
        let room = self.room(node);
        let cells = self.maze.way(&[start], |cell| self.maze.is_clear(cell, room))?;
        self.settle(node, cells[cells.len() - 1], sheet);
        Some(())
    }

    /// Room that `node` needs.
    fn room(&self, node: usize) -> (usize, usize) {
        if self.plumbing.nodes[node].tank.is_some() { TANK_ROOM } else { ROOM }
    }

    /// Draws `node`, with its tank if it opens into one, at `cell`.
    fn settle(&mut self, node: usize, cell: MazeCell, sheet: &mut Sheet) {
        let at = self.maze.middle(cell);
        let Some(connection) = self.plumbing.nodes[node].tank else {
            self.places[node] = vec![(cell, at)];
            self.new[node] = true;
            return;
        };
        let corners =
            [(at.0 - HALF_TANK.0, at.1 - HALF_TANK.1), (at.0 + HALF_TANK.0, at.1 + HALF_TANK.1)];
        let tank = TankBox { tank: connection.tank, corners };
        self.tank(tank);
        sheet.tanks.push(tank);
    }

    /// Lays `stretch` from an end that is drawn to its other one, which is drawn where there is room if it is not yet.
    fn lay(&mut self, mut stretch: Stretch, sheet: &mut Sheet) -> Option<()> {
        if self.places[stretch.nodes[0]].is_empty() {
            stretch.nodes.reverse();
            stretch.branches.reverse();
        }
        let [first, last] = stretch.ends();
        let starts: Vec<MazeCell> = self.places[first].iter().map(|(cell, _)| *cell).collect();
        if self.places[last].is_empty() {
            let steps = (STEPS_A_BRANCH * stretch.branches.len()).max(LEAST_STEPS);
            let far = |cell: MazeCell| {
                let away = |start: &MazeCell| start.0.abs_diff(cell.0) + start.1.abs_diff(cell.1);
                starts.iter().all(|start| away(start) >= steps)
            };
            let room = self.room(last);
            let cells =
                self.maze.way(&starts, |cell| far(cell) && self.maze.is_clear(cell, room))?;
            self.settle(last, cells[cells.len() - 1], sheet);
        }
        let goal = |cell: MazeCell| self.places[last].iter().any(|(end, _)| *end == cell);
        let cells = self.maze.way(&starts, goal)?;
        let point = |node: usize, cell: MazeCell| {
            self.places[node].iter().find(|(at, _)| *at == cell).map(|(_, point)| *point)
        };
        let (start, end) = (point(first, cells[0])?, point(last, cells[cells.len() - 1])?);
        let path = self.maze.path(&cells, start, end);
        self.maze.draw(&path);
        self.share(&stretch, path, sheet);
        Some(())
    }

    /// Cuts `path` into pieces of one length for the branches of `stretch`, each along its positive direction.
    fn share(&mut self, stretch: &Stretch, path: Path, sheet: &mut Sheet) {
        let count = stretch.branches.len();
        let mut rest = path;
        for (k, &i) in stretch.branches.iter().enumerate() {
            let (mut piece, after) = cut(&rest, 1.0 / (count - k) as f64);
            rest = after;
            if k + 1 < count {
                let at = piece[piece.len() - 1];
                self.places[stretch.nodes[k + 1]] = vec![(self.maze.cell(at), at)];
            }
            if self.plumbing.branches[i].from.index() != stretch.nodes[k] {
                piece.reverse();
            }
            sheet.paths[i] = piece;
        }
    }
}

/// The branches numbered `missing` as stretches between nodes that are drawn, tanks, ends, and nodes where several meet.
fn stretches(plumbing: &Plumbing, missing: &[usize], places: &[Places]) -> Vec<Stretch> {
    let mut at: Vec<Vec<usize>> = vec![Vec::new(); plumbing.nodes.len()];
    let ends = |i: usize| [plumbing.branches[i].from.index(), plumbing.branches[i].to.index()];
    for &i in missing {
        ends(i).into_iter().for_each(|end| at[end].push(i));
    }
    let tips: Vec<usize> = plumbing.tips.iter().map(|tip| tip.node.index()).collect();
    let passes = |node: usize| {
        let alone = plumbing.nodes[node].tank.is_none() && !tips.contains(&node);
        places[node].is_empty() && at[node].len() == 2 && alone
    };
    let mut taken = vec![false; plumbing.branches.len()];
    let mut found = Vec::new();
    // Rings of nodes that only pass have no end: the second time any node is one.
    for ring in [false, true] {
        for &first in missing {
            let start = ends(first).into_iter().find(|end| ring || !passes(*end));
            let Some(start) = start.filter(|_| !taken[first]) else { continue };
            let mut stretch = Stretch { nodes: vec![start], branches: Vec::new() };
            let mut next = Some(first);
            while let Some(i) = next {
                taken[i] = true;
                let node = stretch.nodes[stretch.nodes.len() - 1];
                let other = if ends(i)[0] == node { ends(i)[1] } else { ends(i)[0] };
                stretch.branches.push(i);
                stretch.nodes.push(other);
                next = at[other].iter().copied().find(|i| !taken[*i]).filter(|_| passes(other));
            }
            found.extend(halved(stretch));
        }
    }
    found
}

/// `stretch`, in two where it comes back to where it began.
fn halved(mut stretch: Stretch) -> Vec<Stretch> {
    let [first, last] = stretch.ends();
    if first != last || stretch.branches.len() < 2 {
        return vec![stretch];
    }
    let half = stretch.branches.len() / 2;
    let branches = stretch.branches.split_off(half);
    let nodes = stretch.nodes[half..].to_vec();
    stretch.nodes.truncate(half + 1);
    vec![stretch, Stretch { nodes, branches }]
}

/// `path` before and after `share` of its length.
fn cut(path: &[SheetPoint], share: f64) -> (Path, Path) {
    // On a picture a height is about 6 px, a share of half the boom 690.
    let length = |w: &[SheetPoint]| 690.0 * (w[1].0 - w[0].0).abs() + 6.0 * (w[1].1 - w[0].1).abs();
    let mut left = share * path.windows(2).map(length).sum::<f64>();
    for (i, piece) in path.windows(2).enumerate() {
        let here = length(piece);
        if left < here && i + 2 <= path.len() {
            let part = left / here;
            let along = |a: f64, b: f64| a + part * (b - a);
            let at = (along(piece[0].0, piece[1].0), along(piece[0].1, piece[1].1));
            let before = path[..=i].iter().copied().chain([at]).collect();
            return (before, [at].into_iter().chain(path[i + 1..].iter().copied()).collect());
        }
        left -= here;
    }
    (path.to_vec(), path[path.len() - 1..].to_vec())
}
