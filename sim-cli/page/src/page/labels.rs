//! Names on the drawing, and its scale.

use super::sheet::{CANVAS, SHEET_HEIGHT, WIDTH, on_sheet, pixels};
use crate::drawing::names::{
    Anchor, Ground, PlacedName, WantedName, around, beside, plain, width_of, within,
};
use crate::drawing::sheet::{BoomSheet, Sheet, SheetPoint, TUBE, TankBox};
use crate::drawing::strokes::midpoint;
use serde::Serialize;
use sim_core::plumbing::{Plumbing, SectionId, Side};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

/// Rows for the names of sections, below the tubes.
const SECTION_ROWS: [i32; 3] = [20, 44, -44];
/// Most sections whose names have room, and from how many on they are written small.
const MOST_NAMES: usize = 24;
const SMALL_FROM: usize = 10;
/// Lengths of which the scale shows the longest that is at most a sixth of the drawing, in units shown.
const SCALES: [f64; 8] = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];

/// Sizes of letters on a narrow screen, where they are largest, and how far below its middle a letter stands.
const LARGE: f64 = 26.0;
const SMALL: f64 = 20.0;
const BASE: f64 = 0.33;
/// Width that lines are kept clear of, px.
const WIDE: i32 = 15;
/// Where the scale is, the room for its words included.
const SCALE_AT: [SheetPoint; 2] = [(-1.0, 6.0), (-0.42, 6.0)];

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

/// Names on the drawing, below the height `top`: of tanks, sections and headers, of lines, parts and nodes.
pub(super) fn of(plumbing: &Plumbing, sheet: &Sheet, top: i32) -> Vec<Label> {
    let mut ground = ground(plumbing, sheet, top);
    let mut names = tanks(plumbing, sheet);
    match &sheet.boom {
        Some(boom) => {
            names.extend(sections(plumbing, boom, &ground));
            names.extend(of_boom(plumbing, sheet, boom));
        }
        None => names.extend((0..plumbing.branches.len()).map(|i| of_branch(plumbing, sheet, i))),
    }
    for (node, at) in &sheet.nodes {
        let spots = around(on_sheet(*at), WIDE / 2 + 3, SMALL);
        names.push(WantedName { words: plain(&plumbing.node(*node).name), size: SMALL, spots });
    }
    ground.place(names).into_iter().map(Label::from).collect()
}

impl From<PlacedName> for Label {
    fn from(name: PlacedName) -> Self {
        let anchor = match name.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        // Letters stand on their point there, and are as high as the smaller size on a screen.
        let at = (name.at.0, name.at.1 + (BASE * name.size).round() as i32);
        Self { text: name.words, at, anchor, small: name.size <= SMALL }
    }
}

/// What is drawn besides names.
fn ground(plumbing: &Plumbing, sheet: &Sheet, top: i32) -> Ground {
    let mut ground = Ground::new([4, top + 2, WIDTH as i32 - 4, SHEET_HEIGHT as i32 - 2]);
    for (branch, path) in plumbing.branches.iter().zip(&sheet.paths) {
        let path = pixels(path);
        ground.line(&path, WIDE);
        if branch.part.line().is_none() {
            let ((x, y), half) =
                (midpoint(&path), if branch.part.pump().is_some() { 18 } else { 10 });
            ground.part([x - half, y - half, x + half, y + half]);
        }
    }
    sheet.bars.iter().for_each(|(_, bar)| ground.line(&pixels(bar), WIDE));
    for tip in &sheet.tips {
        let (x, y) = on_sheet(*tip);
        ground.part([x - 9, y - 28, x + 9, y]);
    }
    for tank in &sheet.tanks {
        let [(left, top), (right, bottom)] = tank.on(CANVAS);
        ground.part([left, top, right, bottom]);
    }
    if let Some((from, to)) =
        sheet.boom.as_ref().map(|_| SCALE_AT.map(on_sheet)).map(|[a, b]| (a, b))
    {
        ground.mark([from.0, from.1 - 16, to.0, to.1 + 12]);
    }
    ground
}

fn tanks(plumbing: &Plumbing, sheet: &Sheet) -> Vec<WantedName> {
    let name = |of: &TankBox| {
        let words = plain(&plumbing.tank(of.tank).name);
        let [(left, _), (right, _)] = of.on(CANVAS);
        let fits = width_of(&words, LARGE) <= f64::from(right - left);
        let size = if fits { LARGE } else { SMALL };
        let spots = within(of.on(CANVAS), &words, size);
        WantedName { words, size, spots }
    };
    sheet.tanks.iter().map(name).collect()
}

fn of_branch(plumbing: &Plumbing, sheet: &Sheet, i: usize) -> WantedName {
    let spots = beside(&pixels(&sheet.paths[i]), WIDE, SMALL);
    WantedName { words: plain(&plumbing.branches[i].name), size: SMALL, spots }
}

/// Names of sections, in one row along the tubes.
fn sections(plumbing: &Plumbing, boom: &BoomSheet, ground: &Ground) -> Vec<WantedName> {
    let every = plumbing.sections.len().div_ceil(MOST_NAMES).max(1);
    let size = if plumbing.sections.len() >= SMALL_FROM { SMALL } else { LARGE };
    let name = |k: usize| {
        let (x, y) = on_sheet((boom.middle_of(plumbing, SectionId::at(k))?, TUBE));
        let spots = SECTION_ROWS.map(|down| ((x, y + down), Anchor::Middle)).to_vec();
        Some(WantedName { words: plain(&plumbing.sections[k].name), size, spots })
    };
    let mut names: Vec<WantedName> =
        (0..plumbing.sections.len()).step_by(every).filter_map(name).collect();
    ground.in_one_row(&mut names, SECTION_ROWS.len());
    names
}

/// Names of headers, the row from tank to header, what returns, and what else is joined to the boom.
fn of_boom(plumbing: &Plumbing, sheet: &Sheet, boom: &BoomSheet) -> Vec<WantedName> {
    let mut names = Vec::new();
    for ((_, bar), words) in sheet.bars.iter().zip(["header", "return"]) {
        let bar = pixels(bar);
        let mut spots = vec![((bar[0].0 - 14, bar[0].1), Anchor::End)];
        spots.extend(beside(&bar, WIDE, SMALL));
        names.push(WantedName { words: words.into(), size: SMALL, spots });
    }
    let branches = plumbing.branches.iter().enumerate();
    let back = branches.filter(|(_, b)| b.side == Side::Tank).map(|(i, _)| i);
    for i in back.filter(|i| !boom.strangers.contains(i)) {
        let mut name = of_branch(plumbing, sheet, i);
        let (x, y) = on_sheet(sheet.paths[i][1]);
        name.spots.insert(0, ((x - 12, y), Anchor::End));
        names.push(name);
    }
    let more = boom.row.iter().chain(&boom.strangers);
    names.extend(more.map(|i| of_branch(plumbing, sheet, *i)));
    names
}

/// A scale below the left wing.
pub(super) fn scale(half_m: f64, units: UnitSystem) -> Option<Scale> {
    let unit = display_unit(Q::Length, units);
    let metre = unit.from_si(1.0);
    let whole = half_m * metre * WIDTH / f64::from(on_sheet((1.0, 0.0)).0 - on_sheet((0.0, 0.0)).0);
    let length = SCALES.into_iter().rev().find(|length| *length <= whole / 6.0)?;
    let share = length / metre / half_m;
    let (from, to) = (on_sheet(SCALE_AT[0]), on_sheet((SCALE_AT[0].0 + share, SCALE_AT[0].1)));
    Some(Scale { from, to, text: format!("{length} {} along the boom", unit.symbol) })
}
