//! The plumbing drawn plainly, each piece with its number: a sketch beside the cut list.

use super::pieces::CutPiece;
use crate::columns::escaped;
use crate::drawing::route::{Sheet, TANK, TUBE, placed, sheet};
use crate::drawing::strokes::{Pixel, clear_of_each_other, longest_piece, midpoint, points_along};
use crate::drawing::{layered, strokes::arrow_head, strokes::direction};
use sim_core::plumbing::{Machine, Plumbing, SectionId};
use std::fmt::Write as _;

/// The style of sketches, in the colours of their page.
pub(crate) const SKETCH_STYLE: &str = include_str!("sketch.css");
/// Size of the sketch, in its own units; it is as wide as the page.
pub(super) const WIDTH: f64 = 1600.0;
const HEIGHT: f64 = 640.0;
/// Room around a network without a boom's shape.
const MARGIN: (f64, f64) = (70.0, 45.0);
/// Room above the highest and below the lowest line.
const ROOM: i32 = 34;
/// Width of a letter of a name, about.
const LETTER: i32 = 10;
/// Half of a number's mark, and how far apart marks are.
const MARK: i32 = 17;
const APART: i32 = 2 * MARK + 4;

/// The sketch of `machine` as SVG, in which each of `pieces` has its number.
pub(super) fn numbered_sketch(machine: &Machine, pieces: &[CutPiece]) -> String {
    let label = "Sketch of the plumbing with the numbers of the cut list";
    sketch(machine, label, ROOM, |drawn, _| drawn.numbers(pieces))
}

/// The sketch of `machine` as SVG with `marks` on it, which are given what is drawn and from where to where the sketch reaches
/// downwards: `room` above and below the machine.
pub(super) fn sketch(
    machine: &Machine,
    label: &str,
    room: i32,
    marks: impl FnOnce(&Drawn, (i32, i32)) -> String,
) -> String {
    let plumbing = &machine.plumbing;
    let drawn = match sheet(machine) {
        Some(sheet) => of_boom(plumbing, &sheet),
        None => of_network(plumbing),
    };
    let heights = drawn.paths.iter().flatten().map(|(_, y)| *y);
    let (top, bottom) = heights.fold((i32::MAX, 0), |(top, bottom), y| (top.min(y), bottom.max(y)));
    let (top, bottom) = (top.min(bottom) - room, bottom + room);
    format!(
        "<div class=\"table\"><svg class=\"sketch\" viewBox=\"0 {top} {WIDTH} {}\" role=\"img\" aria-label=\"{label}\">{}{}</svg></div>\n",
        bottom - top,
        drawn.shapes,
        marks(&drawn, (top, bottom))
    )
}

/// What is drawn so far, and the path of each branch.
pub(super) struct Drawn {
    shapes: String,
    pub(super) paths: Vec<Vec<Pixel>>,
}

impl Drawn {
    /// Lines and parts along `paths`.
    fn of(plumbing: &Plumbing, paths: Vec<Vec<Pixel>>) -> Self {
        let mut drawn = Self { shapes: String::new(), paths };
        for (branch, path) in plumbing.branches.iter().zip(&drawn.paths) {
            let class = if branch.part.line().is_some() { "line" } else { "part" };
            let points: Vec<String> = path.iter().map(|(x, y)| format!("{x},{y}")).collect();
            // Writing to a String cannot fail.
            let _ = write!(
                drawn.shapes,
                "<polyline class=\"{class}\" points=\"{}\"/>",
                points.join(" ")
            );
            if branch.part.pump().is_some() {
                let (x, y) = midpoint(path);
                let _ =
                    write!(drawn.shapes, "<circle class=\"body\" cx=\"{x}\" cy=\"{y}\" r=\"18\"/>");
                if let Some((from, to)) = longest_piece(path) {
                    let (at, towards) = direction(from, to);
                    let head = arrow_head(at, towards, 20);
                    let head: Vec<String> = head.iter().map(|(x, y)| format!("{x},{y}")).collect();
                    let _ = write!(drawn.shapes, "<polygon points=\"{}\"/>", head.join(" "));
                }
            } else if branch.part.line().is_none() {
                let (x, y) = midpoint(path);
                let _ = write!(
                    drawn.shapes,
                    "<rect class=\"body\" x=\"{}\" y=\"{}\" width=\"12\" height=\"12\"/>",
                    x - 6,
                    y - 6
                );
            }
        }
        drawn
    }

    fn words(&mut self, (x, y): Pixel, words: &str) {
        let _ = write!(self.shapes, "<text x=\"{x}\" y=\"{y}\">{}</text>", escaped(words));
    }

    fn tip(&mut self, (x, y): Pixel) {
        let _ = write!(self.shapes, "<path class=\"tip\" d=\"M{x} {} v-9\"/>", y - 3);
    }

    /// The number of each piece in the middle of its way, clear of the others.
    fn numbers(&self, pieces: &[CutPiece]) -> String {
        let way = |piece: &CutPiece| {
            let paths = piece.branches.iter().map(|id| &self.paths[id.index()]);
            paths.flat_map(|path| points_along(path)).collect::<Vec<_>>()
        };
        // Short ways have the least choice.
        let mut ways: Vec<(usize, Vec<Pixel>)> =
            pieces.iter().map(|piece| (piece.number, way(piece))).collect();
        ways.retain(|(_, way)| !way.is_empty());
        ways.sort_by_key(|(number, way)| (way.len(), *number));
        let candidates: Vec<Vec<Pixel>> = ways.iter().map(|(_, way)| way.clone()).collect();
        let places = clear_of_each_other(&candidates, APART);
        let mut shapes = String::new();
        for ((number, _), (x, y)) in ways.iter().zip(places) {
            let _ = write!(
                shapes,
                "<circle class=\"mark\" cx=\"{x}\" cy=\"{y}\" r=\"{MARK}\"/><text class=\"number\" x=\"{x}\" y=\"{}\">{number}</text>",
                y + 7
            );
        }
        shapes
    }
}

fn of_boom(plumbing: &Plumbing, sheet: &Sheet) -> Drawn {
    let at = |point: (f64, f64)| placed(point, (0.0, 0.0, WIDTH, HEIGHT));
    let path = |path: &Vec<(f64, f64)>| path.iter().map(|point| at(*point)).collect();
    let mut drawn = Drawn::of(plumbing, sheet.paths.iter().map(path).collect());
    let ((left, bottom), (right, top)) = (at(TANK.0), at(TANK.1));
    let _ = write!(
        drawn.shapes,
        "<rect class=\"body\" x=\"{left}\" y=\"{top}\" width=\"{}\" height=\"{}\"/>",
        right - left,
        bottom - top
    );
    drawn.words(((left + right) / 2, (top + bottom) / 2 + 7), "tank");
    for (_, bar) in &sheet.bars {
        let points: Vec<String> = bar
            .iter()
            .map(|point| {
                let (x, y) = at(*point);
                format!("{x},{y}")
            })
            .collect();
        let _ = write!(drawn.shapes, "<polyline class=\"bar\" points=\"{}\"/>", points.join(" "));
    }
    for tip in &plumbing.tips {
        drawn.tip(at((tip.x_m / sheet.half_m, TUBE)));
    }
    for (i, section) in plumbing.sections.iter().enumerate() {
        if let Some(x) = sheet.middle_of(plumbing, SectionId::at(i)) {
            let (x, y) = at((x, TUBE));
            drawn.words(
                (x + MARK + 5 + LETTER * section.name.chars().count() as i32 / 2, y + 27),
                &section.name,
            );
        }
    }
    for (k, &i) in sheet.row.iter().enumerate() {
        let branch = &plumbing.branches[i];
        if branch.part.line().is_none() {
            let (x, y) = midpoint(&drawn.paths[i]);
            // Neighbours are at different heights, so that long names do not meet.
            let up = if k % 2 == 0 { 28 } else { 52 };
            let name = branch.name.replace('-', " ");
            // The first name ends at the tank.
            let x = x.min(left - LETTER * name.chars().count() as i32 / 2);
            drawn.words((x, y - up), &name);
        }
    }
    drawn
}

fn of_network(plumbing: &Plumbing) -> Drawn {
    let at = |(x, y): (f64, f64)| {
        let px = MARGIN.0 + x * (WIDTH - 2.0 * MARGIN.0);
        (px.round() as i32, (MARGIN.1 + y * (HEIGHT - 2.0 * MARGIN.1)).round() as i32)
    };
    let points: Vec<Pixel> = layered::points(plumbing).into_iter().map(at).collect();
    let mut drawn = Drawn::of(plumbing, layered::paths(plumbing, &points));
    for tip in &plumbing.tips {
        drawn.tip(points[tip.node.index()]);
    }
    for (node, (x, y)) in plumbing.nodes.iter().zip(points) {
        drawn.words((x, y + 24), &node.name);
    }
    drawn
}
