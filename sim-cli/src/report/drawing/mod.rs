//! Where everything is on the drawing of the page.

mod labels;
mod sheet;

use crate::drawing::layered;
use crate::drawing::route::{self, Sheet, TANK, TUBE};
use labels::{Label, Scale};
use serde::Serialize;
use sheet::{SHEET_HEIGHT, WIDTH, on_sheet};
use sim_core::plumbing::{Branch, Machine, Plumbing, Side};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show};

/// Room of a network without a boom's shape, left and right, above and below.
const MARGIN: (f64, f64) = (120.0, 60.0);
/// Height of the sheet shown above the highest line.
const ABOVE: f64 = 8.0;

/// Sections whose hoses have room for their full width.
const ROOMY: f64 = 12.0;

/// The drawing of one machine.
#[derive(Debug, Serialize)]
pub(super) struct Drawing {
    width: f64,
    /// Top of what is shown, and its height.
    top: f64,
    height: f64,
    /// Whether tips and tubes are at their true places.
    boom: bool,
    lines: Vec<DrawnLine>,
    bars: Vec<Bar>,
    tanks: Vec<DrawnTank>,
    tips: Vec<DrawnTip>,
    labels: Vec<Label>,
    scale: Option<Scale>,
    /// Share of their full width that lines of sections have room for.
    room: f64,
    /// Nodes whose pressures the colours of pressure tell apart.
    ranged: Vec<usize>,
}

/// A branch: a line or a part.
#[derive(Debug, Serialize)]
struct DrawnLine {
    name: String,
    kind: &'static str,
    /// Whether it belongs to one section.
    sectional: bool,
    /// Corners, x and y in turn.
    path: Vec<i32>,
    from: usize,
    to: usize,
    /// Flow in the unit shown over velocity in the unit shown; 0 for a part.
    area: f64,
    /// What it is, in words.
    what: String,
}

/// A header, coloured like node `node`.
#[derive(Debug, Serialize)]
struct Bar {
    node: usize,
    line: Option<usize>,
    path: Vec<i32>,
}

#[derive(Debug, Serialize)]
struct DrawnTank {
    name: String,
    /// Left, top, right, bottom; empty where it is drawn as a node only.
    place: Vec<i32>,
}

#[derive(Debug, Serialize)]
struct DrawnTip {
    name: String,
    section: String,
    node: usize,
    at: (i32, i32),
    /// Place along the boom, in words.
    place: String,
}

impl Drawing {
    /// The drawing of `machine`: of a boom if it is built like one, else of a network.
    pub(super) fn of(machine: &Machine, units: UnitSystem) -> Self {
        let plumbing = &machine.plumbing;
        match route::sheet(machine) {
            Some(sheet) => boom(plumbing, &sheet, units),
            None => network(plumbing, units),
        }
    }
}

fn flat(points: impl Iterator<Item = (i32, i32)>) -> Vec<i32> {
    points.flat_map(|(x, y)| [x, y]).collect()
}

fn boom(plumbing: &Plumbing, sheet: &Sheet, units: UnitSystem) -> Drawing {
    let path = |path: &route::Path| flat(path.iter().map(|point| on_sheet(*point)));
    let lines = plumbing.branches.iter().zip(&sheet.paths);
    let bars = sheet.bars.iter().map(|(node, bar)| Bar {
        node: node.index(),
        line: sheet.line_at(plumbing, *node),
        path: path(bar),
    });
    let tip = |tip: &sim_core::plumbing::Tip| {
        let x_share = if sheet.half_m > 0.0 { tip.x_m / sheet.half_m } else { 0.0 };
        on_sheet((x_share, TUBE))
    };
    let (a, b) = (on_sheet(TANK.0), on_sheet(TANK.1));
    let drawn_tank = sheet.row.first().map(|i| plumbing.branches[*i].from);
    let drawn_tank = drawn_tank.and_then(|node| plumbing.node(node).tank).map(|c| c.tank.index());
    let tanks = plumbing.tanks.iter().enumerate().map(|(i, tank)| DrawnTank {
        name: tank.name.clone(),
        place: if Some(i) == drawn_tank { vec![a.0, b.1, b.0, a.1] } else { Vec::new() },
    });
    let highest = sheet.paths.iter().flatten().map(|point| point.1).fold(TUBE, f64::max);
    let top = f64::from(on_sheet((0.0, highest + ABOVE)).1).max(0.0);
    let sectional = |b: &&Branch| b.section.is_some() && matches!(b.side, Side::Feed | Side::Boom);
    Drawing {
        width: WIDTH,
        top,
        height: SHEET_HEIGHT - top,
        boom: true,
        room: (ROOMY / plumbing.sections.len().max(1) as f64).min(1.0),
        lines: lines.map(|(b, corners)| line(b, path(corners), units)).collect(),
        bars: bars.collect(),
        tanks: tanks.collect(),
        tips: plumbing.tips.iter().map(|t| tip_at(plumbing, t, tip(t), units)).collect(),
        labels: labels::of_boom(plumbing, sheet),
        scale: labels::scale(sheet.half_m, units),
        ranged: ends(plumbing.branches.iter().filter(sectional)),
    }
}

/// The nodes at the ends of `branches`, each once.
fn ends<'b>(branches: impl Iterator<Item = &'b Branch>) -> Vec<usize> {
    let mut nodes: Vec<usize> = branches.flat_map(|b| [b.from.index(), b.to.index()]).collect();
    nodes.sort_unstable();
    nodes.dedup();
    nodes
}

fn line(branch: &Branch, path: Vec<i32>, units: UnitSystem) -> DrawnLine {
    let unit_m_s = 1.0 / display_unit(Q::Velocity, units).from_si(1.0);
    let of_line = branch.part.line();
    let what = of_line.map(|line| {
        let (bore, length) =
            (show(line.bore_m, Q::Bore, units), show(line.length_m, Q::Length, units));
        format!("{bore} bore, {length} long, holds {}", show(line.volume_m3(), Q::Volume, units))
    });
    let area = |line: &sim_core::plumbing::Line| {
        display_unit(Q::Flow, units).from_si(line.area_m2()) * unit_m_s
    };
    DrawnLine {
        name: branch.name.replace('-', " "),
        kind: branch.part.kind(),
        sectional: branch.section.is_some(),
        path,
        from: branch.from.index(),
        to: branch.to.index(),
        area: of_line.map_or(0.0, |line| super::moments::rounded(area(line), 4)),
        what: what.unwrap_or_else(|| branch.part.kind().replace('_', " ")),
    }
}

fn tip_at(
    plumbing: &Plumbing,
    tip: &sim_core::plumbing::Tip,
    at: (i32, i32),
    units: UnitSystem,
) -> DrawnTip {
    let section = tip.section.map(|id| plumbing.sections[id.index()].name.clone());
    DrawnTip {
        name: tip.name.clone(),
        section: section.unwrap_or_default(),
        node: tip.node.index(),
        at,
        place: place(tip.x_m, units),
    }
}

/// A place along the boom in words.
fn place(x_m: f64, units: UnitSystem) -> String {
    let away = show(x_m.abs(), Q::Length, units);
    match x_m {
        x if x < 0.0 => format!("{away} left of the centre"),
        x if x > 0.0 => format!("{away} right of the centre"),
        _ => "at the centre".into(),
    }
}

fn network(plumbing: &Plumbing, units: UnitSystem) -> Drawing {
    let height = SHEET_HEIGHT;
    let at = |(x, y): (f64, f64)| {
        let px = MARGIN.0 + x * (WIDTH - 2.0 * MARGIN.0);
        (px.round() as i32, (MARGIN.1 + y * (height - 2.0 * MARGIN.1)).round() as i32)
    };
    let points: Vec<(i32, i32)> = layered::points(plumbing).into_iter().map(at).collect();
    let paths = layered::paths(plumbing, &points);
    let branches = plumbing.branches.iter().zip(&paths);
    let tip =
        |tip: &sim_core::plumbing::Tip| tip_at(plumbing, tip, points[tip.node.index()], units);
    let is_no_pump = |branch: &&Branch| branch.part.pump().is_none();
    Drawing {
        width: WIDTH,
        top: 0.0,
        height,
        boom: false,
        room: 1.0,
        lines: branches.map(|(b, path)| line(b, flat(path.iter().copied()), units)).collect(),
        bars: Vec::new(),
        tanks: plumbing
            .tanks
            .iter()
            .map(|tank| DrawnTank { name: tank.name.clone(), place: Vec::new() })
            .collect(),
        tips: plumbing.tips.iter().map(tip).collect(),
        labels: labels::of_network(plumbing, &points, &paths),
        scale: None,
        ranged: ends(plumbing.branches.iter().filter(is_no_pump)),
    }
}
