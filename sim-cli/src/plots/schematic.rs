//! The plumbing: flow as the width of lines, pressure as their colour.

use super::axes::extent;
use super::picture::{Picture, Pixel};
use super::plan::air_arrow;
use super::pressure_bar::{pressure_bar, widest};
use super::theme::{HPos, INK, RGBColor, VPos, WHITE, anchored, filled, level, stroke, text};
use crate::drawing::layered;
use crate::drawing::route::{self, Canvas, Path, Sheet, TANK, TUBE, placed};
use crate::drawing::strokes::{
    LEVEL_WITHIN, arrow_head, direction, label_point, longest_piece, midpoint, upright,
};
use crate::drawing::{map_colour, pressure_scale};
use crate::results::FinishedStep;
use plotters::style::TextStyle;
use sim_core::hydraulics::STILL_M3_S;
use sim_core::plumbing::{Branch, Part, Plumbing, Side, Tip};
use sim_core::units::{Quantity as Q, show, show_number};

/// Where the plumbing is drawn, px: left, top, right, bottom.
const CANVAS: Canvas = (60.0, 130.0, 1540.0, 770.0);
/// Width of the line with the largest flow, px.
const WIDEST: u32 = 16;
/// Colour of lines in which nothing flows.
const STILL: RGBColor = RGBColor(176, 176, 176);
/// Width of lines in which nothing flows, px.
const STILL_WIDTH: u32 = 3;
/// Flow, as a share of the largest, below which a line counts as still.
const STILL_BELOW: f64 = 1e-6;

/// What a step's flows and pressures look like.
struct Scene<'a> {
    view: &'a FinishedStep<'a>,
    plumbing: &'a Plumbing,
    /// The pressures that the colours tell apart, Pa.
    range: (f64, f64),
    /// The largest flow, m3/s.
    largest: f64,
}

/// One branch as drawn.
struct Stroke {
    path: Vec<Pixel>,
    colour: RGBColor,
    width: u32,
    /// Where the arrow stands and where it points, if the branch is long enough.
    arrow: Option<(Pixel, (f64, f64))>,
    symbol: Option<Symbol>,
}

#[derive(Clone, Copy)]
enum Symbol {
    Pump,
    Valve,
    Other,
}

/// The picture.
pub(super) fn schematic(view: &FinishedStep<'_>) -> Option<Picture> {
    let plumbing = view.plumbing();
    let sheet = route::sheet(&view.scenario.machine);
    let largest = view.record.end.flow_m3_s.iter().fold(0.0f64, |most, q| most.max(q.abs()));
    let scene = Scene { view, plumbing, range: pressure_range(view), largest };
    let title = format!("{}: flow and pressure", view.scenario.title);
    let below = format!(
        "step \"{}\": width of a line shows its flow, colour the pressure{}; grey lines are still",
        view.step.name,
        if sheet.is_some() { " from header to tips" } else { "" }
    );
    let mut picture = Picture::new(60, title, below);
    match &sheet {
        Some(sheet) => scene.boom(&mut picture, sheet),
        None => scene.network(&mut picture),
    }
    scene.key(&mut picture);
    Some(picture)
}

impl Scene<'_> {
    fn boom(&self, picture: &mut Picture, sheet: &Sheet) {
        let tank = [on_sheet(TANK.0), on_sheet(TANK.1)];
        picture.rectangle(tank, filled(RGBColor(244, 244, 244)));
        picture.rectangle(tank, stroke(INK, 3));
        let pixels = |path: &Path| path.iter().map(|point| on_sheet(*point)).collect();
        let mut strokes = Vec::new();
        for (i, path) in sheet.paths.iter().enumerate() {
            let mut stroke = self.stroke(i, pixels(path));
            // Arrows in every fourth piece of tube are enough.
            if self.plumbing.branches[i].side == Side::Boom && i % 4 != 1 {
                stroke.arrow = None;
            }
            strokes.push(stroke);
        }
        for (node, bar) in &sheet.bars {
            let pressure = self.view.record.end.static_pressure_pa[node.index()];
            let passes = |b: &Branch| b.from == *node || b.to == *node;
            let mut beside = (0..).zip(&self.plumbing.branches).filter(|(_, b)| passes(b));
            let still = beside.all(|(i, _)| self.is_still(i));
            let (colour, width) =
                if still { (STILL, STILL_WIDTH) } else { (self.colour(pressure), WIDEST) };
            strokes.push(Stroke { path: pixels(bar), colour, width, arrow: None, symbol: None });
        }
        draw_strokes(picture, strokes);
        self.tips(picture, |tip| on_sheet((tip.x_m / sheet.half_m, TUBE)));
        let middle = ((tank[0].0 + tank[1].0) / 2, (tank[0].1 + tank[1].1) / 2);
        picture.words(middle, "tank", level(24, HPos::Center));
        self.section_labels(picture, sheet);
        self.row_labels(picture, sheet);
        self.return_labels(picture, sheet);
        for (_, path) in &sheet.air {
            air_arrow(picture, &pixels(path), 20, false);
        }
    }

    fn section_labels(&self, picture: &mut Picture, sheet: &Sheet) {
        let narrow = self.view.findings.sections.len() > 9;
        for found in &self.view.findings.sections {
            let Some(x) = sheet.middle_of(self.plumbing, found.section.id) else { continue };
            let name = &found.section;
            let label = match (narrow, found.running_tips) {
                (true, _) => name.to_string(),
                (false, 0) => format!("{name}: off"),
                (false, _) => format!("{name}: {}", self.shown(found.flow_m3_s, Q::Flow)),
            };
            picture.words(on_sheet((x, TUBE + 5.0)), label, above(20));
        }
    }

    /// Names under the bottom row, and what pump and header are at.
    fn row_labels(&self, picture: &mut Picture, sheet: &Sheet) {
        for (k, &i) in sheet.row.iter().enumerate() {
            let branch = &self.plumbing.branches[i];
            let path = &sheet.paths[i];
            let (x, y) = on_sheet((0.5 * (path[0].0 + path[1].0), path[0].1));
            let name = branch.name.replace('-', " ");
            // The first name ends at the tank.
            let half = LETTER * name.chars().count() as i32 / 2;
            let x = x.min(on_sheet(TANK.0).0 - half);
            if branch.part.pump().is_some() {
                let rise = self.shown(-self.view.record.end.loss_pa[i], Q::Pressure);
                let flow = self.shown(self.view.record.end.flow_m3_s[i], Q::Flow);
                picture.words((x, y - 60), format!("{name}: {rise}, {flow}"), above(22));
            } else {
                let up = if k % 2 == 0 { 14 } else { 36 };
                picture.words((x, y - up), name, above(18));
            }
        }
        let pressure = self.view.record.end.static_pressure_pa[sheet.header.index()];
        let label = format!("header: {}", self.shown(pressure, Q::Pressure));
        picture.words(on_sheet((-0.03, 24.0)), label, level(22, HPos::Right));
    }

    /// What comes back to the tank.
    fn return_labels(&self, picture: &mut Picture, sheet: &Sheet) {
        for (i, branch) in self.plumbing.branches.iter().enumerate() {
            let flow = self.shown(self.view.record.end.flow_m3_s[i], Q::Flow);
            let label = format!("{}: {flow}", branch.name.replace('-', " "));
            let path = &sheet.paths[i];
            if branch.side == Side::Tank {
                let (x, y) = on_sheet(path[1]);
                picture.words((x - 14, y), label, level(19, HPos::Right));
            } else if branch.name == "return-main" {
                let (x, y) = on_sheet((0.5, path[0].1));
                picture.words((x, y - 14), label, above(19));
            }
        }
    }

    fn network(&self, picture: &mut Picture) {
        let (left, top, right, bottom) = CANVAS;
        let pixel = |(x, y): (f64, f64)| {
            let px = left + 60.0 + x * (right - left - 120.0);
            (px.round() as i32, (top + y * (bottom - top)).round() as i32)
        };
        let points: Vec<Pixel> = layered::points(self.plumbing).into_iter().map(pixel).collect();
        let paths = layered::paths(self.plumbing, &points);
        let strokes = paths.iter().enumerate().map(|(i, path)| self.stroke(i, path.clone()));
        draw_strokes(picture, strokes.collect());
        self.tips(picture, |tip| points[tip.node.index()]);
        for ((i, branch), path) in self.plumbing.branches.iter().enumerate().zip(&paths) {
            let (x, y) = label_point(path);
            let flow =
                show_number(self.view.record.end.flow_m3_s[i].abs(), Q::Flow, self.view.units);
            let label = format!("{} {flow}", branch.name);
            let (from, to) = (points[branch.from.index()], points[branch.to.index()]);
            if (from.1 - to.1).abs() < LEVEL_WITHIN {
                picture.words((x, y - 12), label, above(18));
            } else {
                picture.words((x + 16, y), label, level(18, HPos::Left));
            }
        }
        for (i, node) in self.plumbing.nodes.iter().enumerate() {
            let pressure = self.shown(self.view.record.end.static_pressure_pa[i], Q::Pressure);
            let tank = node.tank.map(|c| format!(" ({})", self.plumbing.tank(c.tank).name));
            let label = format!("{}{}: {pressure}", node.name, tank.unwrap_or_default());
            let style = anchored(text(19), HPos::Center, VPos::Top);
            picture.words((points[i].0, points[i].1 + 16), label, style);
        }
    }

    /// Each tip, its foot where `at` says: full where it runs.
    fn tips(&self, picture: &mut Picture, at: impl Fn(&Tip) -> Pixel) {
        for (tip, found) in self.plumbing.tips.iter().zip(&self.view.findings.tips) {
            let (x, y) = at(tip);
            let spray = [(x, y - 6), (x - 5, y - 18), (x + 5, y - 18)];
            picture.area(spray, if found.runs() { INK } else { WHITE });
            picture.line([spray[0], spray[1], spray[2], spray[0]], INK, 1);
        }
    }

    /// What colours and widths mean.
    fn key(&self, picture: &mut Picture) {
        let flows = !self.is_still_flow(self.largest);
        pressure_bar(picture, self.range, self.view.units);
        widest(picture, flows.then(|| self.shown(self.largest, Q::Flow)), WIDEST);
    }

    /// Whether nothing flows in branch number `i`, as far as digits show.
    fn is_still(&self, i: usize) -> bool {
        self.is_still_flow(self.view.record.end.flow_m3_s[i])
    }

    fn is_still_flow(&self, flow_m3_s: f64) -> bool {
        let nothing = show_number(0.0, Q::Flow, self.view.units);
        flow_m3_s.abs() <= STILL_M3_S
            || flow_m3_s.abs() < STILL_BELOW * self.largest
            || show_number(flow_m3_s.abs(), Q::Flow, self.view.units) == nothing
    }

    fn shown(&self, si: f64, quantity: Q) -> String {
        show(si, quantity, self.view.units)
    }

    fn colour(&self, pressure_pa: f64) -> RGBColor {
        let (low, high) = self.range;
        map_colour((pressure_pa - low) / (high - low))
    }

    /// Branch number `i` along `path`.
    fn stroke(&self, i: usize, path: Vec<Pixel>) -> Stroke {
        let (branch, flow) = (&self.plumbing.branches[i], self.view.record.end.flow_m3_s[i]);
        let share = if self.largest > 0.0 { flow.abs() / self.largest } else { 0.0 };
        let still = self.is_still(i);
        let symbol = match branch.part {
            Part::Line(_) => None,
            Part::Pump(_) => Some(Symbol::Pump),
            Part::Valve(_) => Some(Symbol::Valve),
            _ => Some(Symbol::Other),
        };
        let wide = (3.0 + f64::from(WIDEST - 3) * share.sqrt()).round() as u32;
        let arrow = longest_piece(&path).filter(|_| !still && symbol.is_none()).map(|(a, b)| {
            let forward = if flow > 0.0 { (a, b) } else { (b, a) };
            direction(forward.0, forward.1)
        });
        let ends = [branch.from, branch.to];
        let [from, to] = ends.map(|end| self.view.record.end.static_pressure_pa[end.index()]);
        let (colour, width) =
            if still { (STILL, STILL_WIDTH) } else { (self.colour(0.5 * (from + to)), wide) };
        Stroke { path, colour, width, arrow, symbol }
    }
}

/// The branches, the widest on top, and what stands on them.
fn draw_strokes(picture: &mut Picture, mut strokes: Vec<Stroke>) {
    strokes.sort_by_key(|stroke| stroke.width);
    for line in &strokes {
        picture.line(&line.path[..], line.colour, line.width);
    }
    strokes.iter().for_each(|line| line.marks(picture));
}

/// Words of `size` px that stand over their point.
fn above(size: u32) -> TextStyle<'static> {
    anchored(text(size), HPos::Center, VPos::Bottom)
}

impl Stroke {
    /// The way of its flow, and what it is.
    fn marks(&self, picture: &mut Picture) {
        if let Some((at, towards)) = self.arrow {
            picture.area(arrow_head(at, towards, self.width), WHITE);
        }
        let (x, y) = midpoint(&self.path);
        match self.symbol {
            Some(Symbol::Pump) => {
                picture.circle((x, y), 20, filled(WHITE));
                picture.circle((x, y), 20, stroke(INK, 3));
                picture.area([(x - 18, y), (x + 8, y - 16), (x + 8, y + 16)], INK);
            }
            Some(Symbol::Valve) => {
                for side in [-1, 1] {
                    let wing = if upright(&self.path) {
                        [(x, y), (x - 6, y + 10 * side), (x + 6, y + 10 * side)]
                    } else {
                        [(x, y), (x + 10 * side, y - 8), (x + 10 * side, y + 8)]
                    };
                    picture.area(wing, INK);
                }
            }
            Some(Symbol::Other) => {
                let corners = [(x - 8, y - 8), (x + 8, y + 8)];
                picture.rectangle(corners, filled(WHITE));
                picture.rectangle(corners, stroke(INK, 2));
            }
            None => {}
        }
    }
}

/// Room of a letter of the smallest names, px.
const LETTER: i32 = 10;

fn on_sheet(point: (f64, f64)) -> Pixel {
    placed(point, CANVAS)
}

/// The pressures that the colours tell apart: on a boom those from header to tips, elsewhere all after
/// the pumps.
fn pressure_range(view: &FinishedStep<'_>) -> (f64, f64) {
    let plumbing = view.plumbing();
    let has_boom = plumbing.branches.iter().any(|branch| branch.side == Side::Boom);
    let sectional = |b: &Branch| b.section.is_some() && matches!(b.side, Side::Feed | Side::Boom);
    let counts = |b: &&Branch| (!has_boom || sectional(b)) && b.part.pump().is_none();
    let branches = plumbing.branches.iter().filter(counts);
    let ends = branches.flat_map(|branch| [branch.from, branch.to]);
    let pressures = ends.map(|end| view.record.end.static_pressure_pa[end.index()]);
    let (low, high) = extent(pressures).unwrap_or((0.0, 0.0));
    pressure_scale((low, high))
}
