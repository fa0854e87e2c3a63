//! The plumbing drawn plainly with a numbered mark at each place where something is read.

use super::numbered_sketch::{Drawn, WIDTH, sketch};
use page_model::drawing::strokes::{Pixel, midpoint};
use sim_core::plumbing::{Machine, NodeId, Plumbing};
use sim_core::scenario::ReadingPlace;
use std::fmt::Write as _;

/// A place with its number; one that is to be read next is marked so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ReadingMark {
    pub(crate) number: usize,
    pub(crate) place: ReadingPlace,
    pub(crate) is_next: bool,
}

/// Half of a mark, how far apart marks are, and how far from their place at most.
const MARK: i32 = 19;
const APART: i32 = 2 * MARK + 6;
const RINGS: [i32; 4] = [44, 76, 112, 150];
/// Room above and below the machine for marks.
const ROOM: i32 = 84;

/// The order in which a person walks round the machine: what it shows by itself, what is at the pump side, then along the boom from
/// the left. Each place once.
pub(crate) fn in_walking_order(
    plumbing: &Plumbing,
    places: impl IntoIterator<Item = ReadingPlace>,
) -> Vec<ReadingPlace> {
    let along = |place: &ReadingPlace| {
        let of_boom = match place {
            ReadingPlace::Catch(tip) => Some(plumbing.tips[tip.index()].x_m),
            ReadingPlace::TestGauge(node) => {
                let section = |s: &sim_core::plumbing::Section| {
                    s.feed_end == Some(*node) || s.far_ends.contains(node)
                };
                let on_boom = plumbing.sections.iter().any(section)
                    || plumbing.tips.iter().any(|tip| tip.node == *node);
                plumbing.node(*node).x_m.filter(|_| on_boom)
            }
            _ => None,
        };
        of_boom.map_or((0, 0), |x_m| (1, (1e3 * x_m).round() as i64))
    };
    let mut ordered: Vec<ReadingPlace> = Vec::new();
    for place in places {
        if !ordered.contains(&place) {
            ordered.push(place);
        }
    }
    ordered.sort_by_key(along);
    ordered
}

/// The sketch of `machine` as SVG: circles are gauges and what the machine shows, squares catch tests; a filled mark is the next.
pub(crate) fn reading_sketch(machine: &Machine, marks: &[ReadingMark]) -> String {
    let label = "Sketch of the plumbing with numbered places of readings";
    sketch(machine, label, ROOM, |drawn, ground, span| {
        let at: Vec<Option<Pixel>> =
            marks.iter().map(|mark| pixel(&machine.plumbing, drawn, mark.place)).collect();
        let known: Vec<(&ReadingMark, Pixel)> =
            marks.iter().zip(&at).filter_map(|(mark, at)| Some((mark, (*at)?))).collect();
        let (mut shapes, mut taken): (String, Vec<Pixel>) = Default::default();
        for (mark, from) in known {
            let free = |at: &Pixel| {
                let clear = |other: &Pixel| {
                    (at.0 - other.0).abs() >= APART || (at.1 - other.1).abs() >= APART
                };
                taken.iter().all(clear)
            };
            let to = around(from, span).into_iter().find(free).unwrap_or(from);
            taken.push(to);
            ground.mark([to.0 - MARK, to.1 - MARK, to.0 + MARK, to.1 + MARK]);
            draw(&mut shapes, mark, from, to);
        }
        shapes
    })
}

/// Where `place` is drawn.
fn pixel(plumbing: &Plumbing, drawn: &Drawn, place: ReadingPlace) -> Option<Pixel> {
    let node = |node: NodeId| {
        let mut branches = plumbing.branches.iter().zip(&drawn.paths);
        branches.find_map(|(branch, path)| match () {
            () if branch.from == node => path.first().copied(),
            () if branch.to == node => path.last().copied(),
            () => None,
        })
    };
    match place {
        ReadingPlace::OwnGauge(gauge) => node(plumbing.gauges[gauge.index()].node),
        ReadingPlace::TestGauge(at) => node(at),
        ReadingPlace::Catch(tip) => node(plumbing.tips[tip.index()].node),
        ReadingPlace::Meter(id) | ReadingPlace::Speed(id) => {
            drawn.paths.get(id.index()).filter(|path| !path.is_empty()).map(|path| midpoint(path))
        }
    }
}

/// Where the mark of a place at `(x, y)` may be: in rings round it, within the sketch.
fn around((x, y): Pixel, (top, bottom): (i32, i32)) -> Vec<Pixel> {
    let ways = [(0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1), (1, 0), (-1, 0)];
    let rings = RINGS.into_iter().flat_map(|far| ways.map(|(a, b)| (x + a * far, y + b * far)));
    let inside = |at: &Pixel| {
        (MARK..WIDTH as i32 - MARK).contains(&at.0) && (top + MARK..bottom - MARK).contains(&at.1)
    };
    rings.filter(inside).collect()
}

/// A mark at `to` for the place at `from`.
fn draw(shapes: &mut String, mark: &ReadingMark, from: Pixel, to: Pixel) {
    let class = if mark.is_next { "mark next" } else { "mark" };
    let ((x, y), (u, v)) = (from, to);
    // Writing to a String cannot fail.
    let _ = write!(
        shapes,
        "<polyline class=\"leader\" points=\"{x},{y} {u},{v}\"/><circle class=\"dot\" cx=\"{x}\" cy=\"{y}\" r=\"5\"/>"
    );
    let _ = match mark.place {
        ReadingPlace::Catch(_) => write!(
            shapes,
            "<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            u - MARK,
            v - MARK,
            2 * MARK,
            2 * MARK
        ),
        _ => write!(shapes, "<circle class=\"{class}\" cx=\"{u}\" cy=\"{v}\" r=\"{MARK}\"/>"),
    };
    let letter = if mark.is_next { "number next" } else { "number" };
    let _ =
        write!(shapes, "<text class=\"{letter}\" x=\"{u}\" y=\"{}\">{}</text>", v + 7, mark.number);
}
