//! The plumbing drawn plainly, each piece with its number: a sketch beside the cut list.

use super::pieces::CutPiece;
use crate::columns::escaped;
use page_model::drawing::names::{
    Anchor, Ground, NameSpot, PlacedName, WantedName, around, beside, plain, within,
};
use page_model::drawing::sheet::{BoomSheet, Canvas, Path, Sheet, TUBE, TankBox, placed};
use page_model::drawing::sheet_of;
use page_model::drawing::strokes::{Pixel, arrow_head, clear_of_each_other, direction};
use page_model::drawing::strokes::{longest_piece, midpoint, points_along};
use sim_core::plumbing::{Machine, Plumbing, SectionId};
use std::fmt::Write as _;

/// The style of sketches, in the colours of their page.
pub(crate) const SKETCH_STYLE: &str = include_str!("sketch.css");
/// Size of the sketch, in its own units; it is as wide as the page.
pub(super) const WIDTH: f64 = 1600.0;
const HEIGHT: f64 = 672.0;
const CANVAS: Canvas = (0.0, 0.0, WIDTH, HEIGHT);
/// Room above the highest and below the lowest line.
const ROOM: i32 = 34;
/// Size of names, and how far below its middle a letter stands.
const LETTERS: f64 = 20.0;
const BASE: f64 = 0.33;
/// Width that lines are kept clear of.
const WIDE: i32 = 8;
/// Rows for the names of sections, below the tubes.
const SECTION_ROWS: [i32; 4] = [20, -28, -40, 44];
/// Half of a number's mark, and how far apart marks are.
const MARK: i32 = 17;
const APART: i32 = 2 * MARK + 4;

/// The sketch of `machine` as SVG, in which each of `pieces` has its number.
pub(super) fn numbered_sketch(machine: &Machine, pieces: &[CutPiece]) -> String {
    let label = "Sketch of the plumbing with the numbers of the cut list";
    sketch(machine, label, ROOM, |drawn, ground, _| drawn.numbers(pieces, ground))
}

/// The sketch of `machine` as SVG with `marks` on it, which are given what is drawn, the ground to note them on, and from where to
/// where the sketch reaches downwards: `room` above and below the machine. Names keep off them.
pub(super) fn sketch(
    machine: &Machine,
    label: &str,
    room: i32,
    marks: impl FnOnce(&Drawn, &mut Ground, (i32, i32)) -> String,
) -> String {
    let (plumbing, sheet) = (&machine.plumbing, sheet_of(machine));
    let points = sheet.paths.iter().chain(sheet.bars.iter().map(|(_, bar)| bar)).flatten();
    let heights = points.map(|point| placed(*point, CANVAS).1);
    let heights = heights.chain(sheet.tanks.iter().map(|tank| tank.on(CANVAS)[0].1));
    let (top, bottom) = heights.fold((i32::MAX, 0), |(top, bottom), y| (top.min(y), bottom.max(y)));
    let (top, bottom) = (top.min(bottom) - room, bottom + room);
    let mut ground = Ground::new([2, top, WIDTH as i32 - 2, bottom]);
    let mut drawn = Drawn::of(plumbing, &sheet, &mut ground);
    let marks = marks(&drawn, &mut ground, (top, bottom));
    drawn.shapes.push_str(&marks);
    let names = match &sheet.boom {
        Some(boom) => of_boom(plumbing, &sheet, boom, &drawn.paths, &ground),
        None => of_network(plumbing, &sheet, &drawn.paths),
    };
    drawn.names(ground.place(names));
    format!(
        "<div class=\"table\"><svg class=\"sketch\" viewBox=\"0 {top} {WIDTH} {}\" role=\"img\" aria-label=\"{label}\">{}</svg></div>\n",
        bottom - top,
        drawn.shapes
    )
}

/// What is drawn so far, and the path of each branch.
pub(super) struct Drawn {
    shapes: String,
    pub(super) paths: Vec<Vec<Pixel>>,
}

impl Drawn {
    /// Everything but numbers and names; what it takes is marked on `ground`.
    fn of(plumbing: &Plumbing, sheet: &Sheet, ground: &mut Ground) -> Self {
        let mut drawn =
            Self { shapes: String::new(), paths: sheet.paths.iter().map(pixels).collect() };
        for (branch, path) in plumbing.branches.iter().zip(&drawn.paths) {
            let class = if branch.part.line().is_some() { "line" } else { "part" };
            polyline(&mut drawn.shapes, class, path);
            ground.line(path, WIDE);
            let (x, y) = midpoint(path);
            if branch.part.pump().is_some() {
                pump(&mut drawn.shapes, path);
                ground.part([x - 19, y - 19, x + 19, y + 19]);
            } else if branch.part.line().is_none() {
                square(&mut drawn.shapes, (x - 6, y - 6), (12, 12));
                ground.part([x - 8, y - 8, x + 8, y + 8]);
            }
        }
        for tank in &sheet.tanks {
            let [(left, top), (right, bottom)] = tank.on(CANVAS);
            square(&mut drawn.shapes, (left, top), (right - left, bottom - top));
            ground.part([left, top, right, bottom]);
        }
        for (_, bar) in &sheet.bars {
            polyline(&mut drawn.shapes, "bar", &pixels(bar));
            ground.line(&pixels(bar), WIDE);
        }
        for tip in &sheet.tips {
            let (x, y) = placed(*tip, CANVAS);
            let _ = write!(drawn.shapes, "<path class=\"tip\" d=\"M{x} {} v-9\"/>", y - 3);
            ground.part([x - 2, y - 12, x + 2, y]);
        }
        drawn
    }

    fn names(&mut self, names: Vec<PlacedName>) {
        for name in names {
            let (x, y) = (name.at.0, name.at.1 + (BASE * LETTERS).round() as i32);
            let anchor = match name.anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let words = escaped(&name.words);
            let _ =
                write!(self.shapes, "<text x=\"{x}\" y=\"{y}\" class=\"{anchor}\">{words}</text>");
        }
    }

    /// The number of each piece in the middle of its way, clear of the others.
    fn numbers(&self, pieces: &[CutPiece], ground: &mut Ground) -> String {
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
            ground.mark([x - MARK, y - MARK, x + MARK, y + MARK]);
            let _ = write!(
                shapes,
                "<circle class=\"mark\" cx=\"{x}\" cy=\"{y}\" r=\"{MARK}\"/><text class=\"number\" x=\"{x}\" y=\"{}\">{number}</text>",
                y + 7
            );
        }
        shapes
    }
}

fn pixels(path: &Path) -> Vec<Pixel> {
    path.iter().map(|point| placed(*point, CANVAS)).collect()
}

/// Points as SVG writes them.
fn points(path: &[Pixel]) -> String {
    let points: Vec<String> = path.iter().map(|(x, y)| format!("{x},{y}")).collect();
    points.join(" ")
}

// Writing to a String cannot fail.
fn polyline(shapes: &mut String, class: &str, path: &[Pixel]) {
    let _ = write!(shapes, "<polyline class=\"{class}\" points=\"{}\"/>", points(path));
}

fn square(shapes: &mut String, (x, y): Pixel, (width, height): (i32, i32)) {
    let _ = write!(
        shapes,
        "<rect class=\"body\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"/>"
    );
}

fn pump(shapes: &mut String, path: &[Pixel]) {
    let (x, y) = midpoint(path);
    let _ = write!(shapes, "<circle class=\"body\" cx=\"{x}\" cy=\"{y}\" r=\"18\"/>");
    if let Some((from, to)) = longest_piece(path) {
        let (at, towards) = direction(from, to);
        let head = points(&arrow_head(at, towards, 20));
        let _ = write!(shapes, "<polygon points=\"{head}\"/>");
    }
}

fn name(words: String, spots: Vec<NameSpot>) -> WantedName {
    WantedName { words, size: LETTERS, spots }
}

fn tanks(plumbing: &Plumbing, sheet: &Sheet) -> Vec<WantedName> {
    let tank = |of: &TankBox| {
        let words = plain(&plumbing.tank(of.tank).name);
        let spots = within(of.on(CANVAS), &words, LETTERS);
        name(words, spots)
    };
    sheet.tanks.iter().map(tank).collect()
}

/// Names of tanks, sections and parts; what has a number needs no name.
fn of_boom(
    plumbing: &Plumbing,
    sheet: &Sheet,
    boom: &BoomSheet,
    paths: &[Vec<Pixel>],
    ground: &Ground,
) -> Vec<WantedName> {
    let mut names = tanks(plumbing, sheet);
    names.extend(sections(plumbing, boom, ground));
    let mut parts = boom.row.clone();
    parts.extend(&boom.strangers);
    names.extend(of_parts(plumbing, paths, parts.into_iter()));
    names
}

/// Names of the sections, in one row along the tubes.
fn sections(plumbing: &Plumbing, boom: &BoomSheet, ground: &Ground) -> Vec<WantedName> {
    let section = |i: usize| {
        let (x, y) = placed((boom.middle_of(plumbing, SectionId::at(i))?, TUBE), CANVAS);
        let beside = [0, 6].map(|more| MARK + 5 + more);
        let beside = beside
            .into_iter()
            .flat_map(|away| [((x + away, 0), Anchor::Start), ((x - away, 0), Anchor::End)]);
        let across: Vec<NameSpot> = [((x, 0), Anchor::Middle)].into_iter().chain(beside).collect();
        let at = |down: i32| move |((x, _), anchor): &NameSpot| ((*x, y + down), *anchor);
        let spots = SECTION_ROWS.iter().flat_map(|down| across.iter().map(at(*down))).collect();
        Some(name(plain(&plumbing.sections[i].name), spots))
    };
    let mut names: Vec<WantedName> = (0..plumbing.sections.len()).filter_map(section).collect();
    ground.in_one_row(&mut names, SECTION_ROWS.len());
    names
}

/// Names of the `parts` that are no lines.
fn of_parts<'a>(
    plumbing: &'a Plumbing,
    paths: &'a [Vec<Pixel>],
    parts: impl Iterator<Item = usize> + 'a,
) -> impl Iterator<Item = WantedName> + 'a {
    let parts = parts.filter(|i| plumbing.branches[*i].part.line().is_none());
    parts.map(|i| {
        let mut spots = around(midpoint(&paths[i]), 20, LETTERS);
        spots.extend(beside(&paths[i], WIDE, LETTERS));
        name(plain(&plumbing.branches[i].name), spots)
    })
}

fn of_network(plumbing: &Plumbing, sheet: &Sheet, paths: &[Vec<Pixel>]) -> Vec<WantedName> {
    let mut names = tanks(plumbing, sheet);
    names.extend(of_parts(plumbing, paths, 0..plumbing.branches.len()));
    names.extend(sheet.nodes.iter().map(|(node, at)| {
        let spots = around(placed(*at, CANVAS), 10, LETTERS);
        name(plain(&plumbing.node(*node).name), spots)
    }));
    names
}
