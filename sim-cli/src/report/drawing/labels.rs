//! Names on the drawing, and its scale.

use super::sheet::{WIDTH, on_sheet};
use crate::drawing::route::{Sheet, TANK, TUBE};
use crate::drawing::strokes::label_point;
use serde::Serialize;
use sim_core::plumbing::{Part, Plumbing, SectionId, Side};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

/// Most sections whose names have room, and from how many on they are written small.
const MOST_NAMES: usize = 24;
const SMALL_FROM: usize = 10;
/// Lengths of which the scale shows the longest that is at most a sixth of the drawing, in units shown.
const SCALES: [f64; 8] = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];

/// A name where it is.
#[derive(Debug, Serialize)]
pub(super) struct Label {
    text: String,
    at: (i32, i32),
    anchor: &'static str,
    small: bool,
}

/// A length along the boom.
#[derive(Debug, Serialize)]
pub(super) struct Scale {
    from: (i32, i32),
    to: (i32, i32),
    text: String,
}

/// Names on a boom: sections, the row from tank to header, what returns.
pub(super) fn of_boom(plumbing: &Plumbing, sheet: &Sheet) -> Vec<Label> {
    let mut labels = Vec::new();
    let mut add = |at: (i32, i32), text: String, anchor, small| {
        labels.push(Label { text, at, anchor, small });
    };
    let every = plumbing.sections.len().div_ceil(MOST_NAMES).max(1);
    for (k, section) in plumbing.sections.iter().enumerate().step_by(every) {
        let Some(x) = sheet.middle_of(plumbing, SectionId::at(k)) else { continue };
        let (x, y) = on_sheet((x, TUBE));
        add((x, y + 26), section.name.clone(), "middle", plumbing.sections.len() >= SMALL_FROM);
    }
    for (k, &i) in sheet.row.iter().enumerate() {
        let (branch, path) = (&plumbing.branches[i], &sheet.paths[i]);
        let (x, y) = on_sheet((0.5 * (path[0].0 + path[1].0), path[0].1));
        // Neighbours are at different heights, so that long names do not meet.
        let above = match (&branch.part, k % 2) {
            (Part::Pump(_), _) => 30,
            (_, 0) => 16,
            _ => 38,
        };
        let name = branch.name.replace('-', " ");
        // The tank stands right of the first.
        match k {
            0 => add((on_sheet(path[0]).0 - 8, y - above), name, "end", true),
            _ => add((x, y - above), name, "middle", true),
        }
    }
    let back = plumbing.branches.iter().enumerate().filter(|(_, b)| b.side == Side::Tank);
    for (i, branch) in back {
        let Some(corner) = sheet.paths[i].get(1) else { continue };
        let (x, y) = on_sheet(*corner);
        add((x - 10, y + 5), branch.name.replace('-', " "), "end", true);
    }
    let (a, b) = (on_sheet(TANK.0), on_sheet(TANK.1));
    add(((a.0 + b.0) / 2, b.1 - 10), "tank".into(), "middle", false);
    let (x, y) = on_sheet(sheet.bars[0].1[0]);
    add((x - 12, y + 6), "header".into(), "end", true);
    if sheet.bars.len() > 1 {
        let (x, y) = on_sheet((0.56, sheet.bars[1].1[0].1));
        add((x, y - 12), "return".into(), "middle", true);
    }
    labels
}

/// A scale below the left wing.
pub(super) fn scale(half_m: f64, units: UnitSystem) -> Option<Scale> {
    let unit = display_unit(Q::Length, units);
    let metre = unit.from_si(1.0);
    let whole = half_m * metre * WIDTH / f64::from(on_sheet((1.0, 0.0)).0 - on_sheet((0.0, 0.0)).0);
    let length = SCALES.into_iter().rev().find(|length| *length <= whole / 6.0)?;
    let share = length / metre / half_m;
    let (from, to) = (on_sheet((-1.0, 6.0)), on_sheet((-1.0 + share, 6.0)));
    Some(Scale { from, to, text: format!("{length} {} along the boom", unit.symbol) })
}

/// Names on a network: every node and every branch.
pub(super) fn of_network(
    plumbing: &Plumbing,
    points: &[(i32, i32)],
    paths: &[Vec<(i32, i32)>],
) -> Vec<Label> {
    let label = |(i, node): (usize, &sim_core::plumbing::Node)| {
        let tank = node.tank.map(|c| format!(" ({})", plumbing.tank(c.tank).name));
        let text = format!("{}{}", node.name, tank.unwrap_or_default());
        Label { text, at: (points[i].0, points[i].1 + 26), anchor: "middle", small: true }
    };
    let named = |(branch, path): (&sim_core::plumbing::Branch, &Vec<(i32, i32)>)| {
        let (x, y) = label_point(path);
        Label { text: branch.name.clone(), at: (x, y - 10), anchor: "middle", small: true }
    };
    let mut labels: Vec<Label> = plumbing.nodes.iter().enumerate().map(label).collect();
    labels.extend(plumbing.branches.iter().zip(paths).map(named));
    labels
}
