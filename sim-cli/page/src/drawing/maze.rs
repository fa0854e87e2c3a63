//! Ways for lines across a sheet on which others already run.

use super::sheet::{HIGHEST, LEFT, LOWEST, Path, RIGHT, SheetPoint};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Size of a cell, in the sheet's own units; on a picture both are about 12 px.
pub(super) const CELL: (f64, f64) = (0.0175, 2.0);
/// What a step costs beyond its length of 1: along a line, close beside one, across one; round a corner, and round one on or
/// beside a line; through what is shut.
const ALONG: u32 = 200;
const BESIDE: u32 = 30;
const ACROSS: u32 = 6;
const CORNER: u32 = 4;
const CORNER_AT_A_LINE: u32 = 20;
const SHUT: u32 = 500;

/// A cell: its column and its row, from the lower left.
pub(super) type MazeCell = (usize, usize);

/// The directions of steps: level ones first.
const STEPS: [(isize, isize); 4] = [(1, 0), (-1, 0), (0, 1), (0, -1)];

/// What is in a cell for those who go level, and for those who go up or down.
#[derive(Clone, Copy, Default, PartialEq)]
enum Taken {
    #[default]
    Free,
    Beside,
    Line,
}

/// The sheet in cells.
pub(super) struct Maze {
    columns: usize,
    rows: usize,
    /// Lines that run level through each cell, and upright ones.
    taken: [Vec<Taken>; 2],
    shut: Vec<bool>,
}

impl Maze {
    pub(super) fn new() -> Self {
        let count = |from: f64, to: f64, size: f64| ((to - from) / size).floor() as usize;
        let (columns, rows) = (count(LEFT, RIGHT, CELL.0), count(LOWEST, HIGHEST, CELL.1));
        let cells = columns * rows;
        let taken = [vec![Taken::Free; cells], vec![Taken::Free; cells]];
        Self { columns, rows, taken, shut: vec![false; cells] }
    }

    /// The cell that `point` is in; that next to it for one beyond the sheet.
    pub(super) fn cell(&self, (x, y): SheetPoint) -> MazeCell {
        let along = |at: f64, from: f64, size: f64, count: usize| {
            (((at - from) / size).floor().max(0.0) as usize).min(count - 1)
        };
        (along(x, LEFT, CELL.0, self.columns), along(y, LOWEST, CELL.1, self.rows))
    }

    /// The middle of `cell`.
    pub(super) fn middle(&self, (column, row): MazeCell) -> SheetPoint {
        (LEFT + (column as f64 + 0.5) * CELL.0, LOWEST + (row as f64 + 0.5) * CELL.1)
    }

    fn at(&self, (column, row): MazeCell) -> usize {
        row * self.columns + column
    }

    /// The cells within a rectangle.
    pub(super) fn within(&self, low: SheetPoint, high: SheetPoint) -> Vec<MazeCell> {
        let ((left, bottom), (right, top)) = (self.cell(low), self.cell(high));
        (bottom..=top).flat_map(|row| (left..=right).map(move |column| (column, row))).collect()
    }

    /// Nothing passes through a rectangle: the cells whose middles are within it.
    pub(super) fn shut(&mut self, low: SheetPoint, high: SheetPoint) -> Vec<MazeCell> {
        let mut cells = self.within(low, high);
        cells.retain(|cell| {
            let (x, y) = self.middle(*cell);
            x > low.0 && x < high.0 && y > low.1 && y < high.1
        });
        for cell in &cells {
            let at = self.at(*cell);
            self.shut[at] = true;
        }
        cells
    }

    /// Keeps level ways out of a rectangle where others can be had.
    pub(super) fn keep_clear(&mut self, low: SheetPoint, high: SheetPoint) {
        for cell in self.within(low, high) {
            let at = self.at(cell);
            self.taken[0][at] = Taken::Beside;
        }
    }

    /// A line along `path`.
    pub(super) fn draw(&mut self, path: &[SheetPoint]) {
        for ends in path.windows(2) {
            let upright = usize::from((ends[0].0 - ends[1].0).abs() < 1e-9);
            let low = (ends[0].0.min(ends[1].0), ends[0].1.min(ends[1].1));
            let high = (ends[0].0.max(ends[1].0), ends[0].1.max(ends[1].1));
            for cell in self.within(low, high) {
                self.mark(cell, upright);
            }
        }
    }

    /// A line through `cell`, and close to those beside it.
    fn mark(&mut self, (column, row): MazeCell, upright: usize) {
        let at = self.at((column, row));
        self.taken[upright][at] = Taken::Line;
        for away in [-1, 1] {
            let beside = match upright {
                0 => (Some(column), row.checked_add_signed(away)),
                _ => (column.checked_add_signed(away), Some(row)),
            };
            let (Some(column), Some(row)) = beside else { continue };
            if column < self.columns && row < self.rows {
                let at = self.at((column, row));
                if self.taken[upright][at] == Taken::Free {
                    self.taken[upright][at] = Taken::Beside;
                }
            }
        }
    }

    /// Whether nothing is within `across` columns and `up` rows of `cell`, nor beyond the sheet.
    pub(super) fn is_clear(&self, (column, row): MazeCell, (across, up): (usize, usize)) -> bool {
        let inside =
            column >= across && row >= up && column + across < self.columns && row + up < self.rows;
        let free = |cell: MazeCell| {
            let at = self.at(cell);
            !self.shut[at] && self.taken.iter().all(|taken| taken[at] == Taken::Free)
        };
        inside
            && (row - up..=row + up)
                .all(|row| (column - across..=column + across).all(|column| free((column, row))))
    }

    /// The cheapest way from any of `starts` to a cell that `ends` takes.
    pub(super) fn way(
        &self,
        starts: &[MazeCell],
        ends: impl Fn(MazeCell) -> bool,
    ) -> Option<Vec<MazeCell>> {
        let states = self.taken[0].len() * STEPS.len();
        let (mut cost, mut came) = (vec![u32::MAX; states], vec![usize::MAX; states]);
        let mut open = BinaryHeap::new();
        for start in starts {
            for step in 0..STEPS.len() {
                let state = self.at(*start) * STEPS.len() + step;
                cost[state] = 0;
                open.push(Reverse((0, state)));
            }
        }
        while let Some(Reverse((so_far, state))) = open.pop() {
            if so_far > cost[state] {
                continue;
            }
            let (at, heading) = (state / STEPS.len(), state % STEPS.len());
            let cell = (at % self.columns, at / self.columns);
            if so_far > 0 && ends(cell) {
                return Some(self.back(&came, state));
            }
            for (step, (across, up)) in STEPS.into_iter().enumerate() {
                let to = (cell.0.checked_add_signed(across), cell.1.checked_add_signed(up));
                let (Some(column), Some(row)) = to else { continue };
                if column >= self.columns || row >= self.rows {
                    continue;
                }
                let to = self.at((column, row));
                let next = to * STEPS.len() + step;
                let whole = so_far + self.price(at, to, heading, step);
                if whole < cost[next] {
                    (cost[next], came[next]) = (whole, state);
                    open.push(Reverse((whole, next)));
                }
            }
        }
        None
    }

    /// What it costs to step from cell number `from` to `to`, heading one way before and another now.
    fn price(&self, from: usize, to: usize, before: usize, now: usize) -> u32 {
        let way = |cell: usize, upright: usize| match self.taken[upright][cell] {
            Taken::Free => 0,
            Taken::Beside => BESIDE,
            Taken::Line => ALONG,
        };
        let upright = now / 2;
        let across = if self.taken[1 - upright][to] == Taken::Line { ACROSS } else { 0 };
        let crowded = self.taken.iter().any(|taken| taken[from] != Taken::Free);
        let corner = match (before == now, crowded) {
            (true, _) => 0,
            (false, false) => CORNER,
            (false, true) => CORNER_AT_A_LINE,
        };
        let shut = if self.shut[to] { SHUT } else { 0 };
        1 + way(to, upright) + across + corner + shut
    }

    /// The cells that led to `state`.
    fn back(&self, came: &[usize], mut state: usize) -> Vec<MazeCell> {
        let mut cells = Vec::new();
        while state != usize::MAX {
            let at = state / STEPS.len();
            cells.push((at % self.columns, at / self.columns));
            state = came[state];
        }
        cells.reverse();
        cells.dedup();
        cells
    }

    /// The path through `cells` from `start` to `end`, which are within the first and the last: every piece level or upright.
    pub(super) fn path(&self, cells: &[MazeCell], start: SheetPoint, end: SheetPoint) -> Path {
        let mut path: Path = cells.iter().map(|cell| self.middle(*cell)).collect();
        straighten(&mut path);
        if path.len() < 2 {
            return vec![start, (end.0, start.1), end];
        }
        // The first and the last piece are moved onto the points they begin and end at.
        let last = path.len() - 1;
        let upright = [same(path[0].0, path[1].0), same(path[last - 1].0, path[last].0)];
        if last == 1 {
            let half = (0.5 * (start.0 + end.0), 0.5 * (start.1 + end.1));
            let mut bent = match upright[0] {
                true => vec![start, (start.0, half.1), (end.0, half.1), end],
                false => vec![start, (half.0, start.1), (half.0, end.1), end],
            };
            straighten(&mut bent);
            return bent;
        }
        for (k, beside, point, upright) in
            [(0, 1, start, upright[0]), (last, last - 1, end, upright[1])]
        {
            path[k] = point;
            if upright {
                path[beside].0 = point.0;
            } else {
                path[beside].1 = point.1;
            }
        }
        path
    }
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// Leaves the corners of `path` only.
fn straighten(path: &mut Path) {
    let mut k = 1;
    while k + 1 < path.len() {
        let (a, b, c) = (path[k - 1], path[k], path[k + 1]);
        if (same(a.0, b.0) && same(b.0, c.0)) || (same(a.1, b.1) && same(b.1, c.1)) {
            path.remove(k);
        } else {
            k += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Maze;

    #[test]
    fn a_way_crosses_a_line_but_does_not_run_along_it() {
        let mut maze = Maze::new();
        maze.draw(&[(-0.5, 50.0), (0.5, 50.0)]);
        let (start, end) = ((0.0, 40.0), (0.3, 60.0));
        let goal = maze.cell(end);
        let cells = maze.way(&[maze.cell(start)], |cell| cell == goal).unwrap();
        let on_the_line = maze.cell((0.0, 50.0)).1;
        assert_eq!(cells.iter().filter(|cell| cell.1 == on_the_line).count(), 1);
        let path = maze.path(&cells, start, end);
        assert_eq!((path[0], path[path.len() - 1]), (start, end));
        let straight = |w: &[(f64, f64)]| w[0].0 == w[1].0 || w[0].1 == w[1].1;
        assert!(path.windows(2).all(straight), "{path:?}");
    }
}
