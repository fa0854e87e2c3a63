//! What a script needs to draw a machine: where everything is, and the units shown.

mod labels;
mod sheet;
mod units;

use crate::drawing::sheet::{Path, Sheet};
use crate::drawing::sheet_of;
pub use units::{ShownUnit, ShownUnits};

use labels::{Label, Scale};
use serde::Serialize;
use sheet::{SHEET_HEIGHT, WIDTH, on_sheet, pixels};
use sim_core::plumbing::{Branch, Machine, Plumbing, Side};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show};

/// Height of the sheet shown above the highest line.
const ABOVE: f64 = 8.0;

/// Sections whose hoses have room for their full width.
const ROOMY: f64 = 12.0;

/// The drawing of one machine.
#[derive(Debug, Serialize)]
pub struct Drawing {
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
    /// Whether it is that of a boom, and not of a network.
    pub fn is_boom(&self) -> bool {
        self.boom
    }

    /// The drawing of `machine`.
    pub fn of(machine: &Machine, units: UnitSystem) -> Self {
        let (plumbing, sheet) = (&machine.plumbing, sheet_of(machine));
        let lines = plumbing.branches.iter().zip(&sheet.paths);
        let bars = sheet.bars.iter().map(|(node, bar)| Bar {
            node: node.index(),
            line: sheet.line_at(plumbing, *node),
            path: flat(bar),
        });
        let tips = plumbing.tips.iter().zip(&sheet.tips);
        let top = (f64::from(on_sheet((0.0, sheet.highest() + ABOVE)).1)).max(0.0);
        Self {
            width: WIDTH,
            top,
            height: SHEET_HEIGHT - top,
            boom: sheet.boom.is_some(),
            room: (ROOMY / plumbing.sections.len().max(1) as f64).min(1.0),
            lines: lines.map(|(b, path)| line(b, flat(path), units)).collect(),
            bars: bars.collect(),
            tanks: tanks(plumbing, &sheet),
            tips: tips.map(|(tip, at)| tip_at(plumbing, tip, on_sheet(*at), units)).collect(),
            labels: labels::of(plumbing, &sheet, top as i32),
            scale: sheet.boom.as_ref().and_then(|boom| labels::scale(boom.half_m, units)),
            ranged: ranged(plumbing, &sheet),
        }
    }
}

fn flat(path: &Path) -> Vec<i32> {
    pixels(path).into_iter().flat_map(|(x, y)| [x, y]).collect()
}

fn tanks(plumbing: &Plumbing, sheet: &Sheet) -> Vec<DrawnTank> {
    let tank = |(i, tank): (usize, &sim_core::plumbing::Tank)| {
        let drawn = sheet.tanks.iter().find(|of| of.tank.index() == i);
        let place = drawn.map(|of| {
            let [(left, top), (right, bottom)] = of.on(sheet::CANVAS);
            vec![left, top, right, bottom]
        });
        DrawnTank { name: tank.name.clone(), place: place.unwrap_or_default() }
    };
    plumbing.tanks.iter().enumerate().map(tank).collect()
}

/// Nodes whose pressures the colours tell apart: on a boom those from header to tips, elsewhere all after the pumps.
fn ranged(plumbing: &Plumbing, sheet: &Sheet) -> Vec<usize> {
    let sectional = |b: &Branch| b.section.is_some() && matches!(b.side, Side::Feed | Side::Boom);
    let counts = |b: &&Branch| match sheet.boom {
        Some(_) => sectional(b),
        None => b.part.pump().is_none(),
    };
    ends(plumbing.branches.iter().filter(counts))
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
        area: of_line.map_or(0.0, |line| rounded(area(line), 4)),
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

/// `value` to `decimals` places.
pub fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    // Adding nothing turns a negative zero into a plain one.
    (value * scale).round() / scale + 0.0
}
