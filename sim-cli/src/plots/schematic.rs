//! The plumbing: flow as the width of lines, pressure as their colour.

use super::axes::extent;
use super::map_colour::map_colour;
use super::picture::{Picture, Pixel};
use super::plan::air_arrow;
use super::pressure_bar::{pressure_bar, widest};
use super::schematic_names::Namer;
use super::theme::{INK, RGBColor, WHITE, filled, stroke};
use crate::results::FinishedStep;
use page_model::drawing::pressure_scale;
use page_model::drawing::sheet::{Canvas, Path, Sheet, SheetPoint, placed};
use page_model::drawing::strokes::{arrow_head, direction, longest_piece, midpoint, upright};
use sim_core::hydraulics::STILL_M3_S;
use sim_core::plumbing::{Branch, Part, Plumbing, Side};
use sim_core::units::{Quantity as Q, show, show_number};

/// Where the plumbing is drawn, px: left, top, right, bottom.
const CANVAS: Canvas = (60.0, 124.0, 1540.0, 796.0);
/// Width of the line with the largest flow, px.
const WIDEST: u32 = 16;
/// Width of a node where lines of a network meet, px.
const NODE: u32 = 10;
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
pub(super) fn schematic(view: &FinishedStep<'_>, sheet: &Sheet) -> Option<Picture> {
    let plumbing = view.plumbing();
    let largest = view.record.end.flow_m3_s.iter().fold(0.0f64, |most, q| most.max(q.abs()));
    let scene = Scene { view, plumbing, range: pressure_range(view), largest };
    let title = format!("{}: flow and pressure", view.scenario.title);
    let below = format!(
        "step \"{}\": width of a line shows its flow, colour the pressure{}; grey lines are still",
        view.step.name,
        if sheet.boom.is_some() { " from header to tips" } else { "" }
    );
    let mut picture = Picture::new(60, title, below);
    scene.draw(&mut picture, sheet);
    Namer { view, sheet, canvas: CANVAS, width: WIDEST as i32 }.write(&mut picture);
    scene.key(&mut picture);
    Some(picture)
}

impl Scene<'_> {
    fn draw(&self, picture: &mut Picture, sheet: &Sheet) {
        for tank in &sheet.tanks {
            picture.rectangle(tank.on(CANVAS), filled(RGBColor(244, 244, 244)));
            picture.rectangle(tank.on(CANVAS), stroke(INK, 3));
        }
        let pixels = |path: &Path| path.iter().map(|point| on_sheet(*point)).collect();
        let mut strokes = Vec::new();
        for (i, path) in sheet.paths.iter().enumerate() {
            let mut stroke = self.stroke(i, pixels(path));
            // Arrows in every fourth piece of tube are enough.
            let is_tube = sheet.boom.is_some() && self.plumbing.branches[i].side == Side::Boom;
            if is_tube && i % 4 != 1 {
                stroke.arrow = None;
            }
            strokes.push(stroke);
        }
        for (node, bar) in &sheet.bars {
            let pressure = self.view.record.end.static_pressure_pa[node.index()];
            let passes = |b: &Branch| b.from == *node || b.to == *node;
            let mut beside = (0..).zip(&self.plumbing.branches).filter(|(_, b)| passes(b));
            let still = beside.all(|(i, _)| self.is_still(i));
            let wide = if sheet.boom.is_some() { WIDEST } else { NODE };
            let (colour, width) =
                if still { (STILL, STILL_WIDTH) } else { (self.colour(pressure), wide) };
            strokes.push(Stroke { path: pixels(bar), colour, width, arrow: None, symbol: None });
        }
        draw_strokes(picture, strokes);
        for (tip, found) in sheet.tips.iter().zip(&self.view.findings.tips) {
            let (x, y) = on_sheet(*tip);
            let spray = [(x, y - 6), (x - 5, y - 18), (x + 5, y - 18)];
            picture.area(spray, if found.runs() { INK } else { WHITE });
            picture.line([spray[0], spray[1], spray[2], spray[0]], INK, 1);
        }
        for (_, path) in &sheet.air {
            air_arrow(picture, &pixels(path), 20, false);
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
                let towards = longest_piece(&self.path).map(|(from, to)| direction(from, to).1);
                let (across, up) = towards.unwrap_or((1.0, 0.0));
                let corner = |along: f64, beside: f64| {
                    let by = (along * across - beside * up, along * up + beside * across);
                    (x + by.0.round() as i32, y + by.1.round() as i32)
                };
                picture.area([corner(18.0, 0.0), corner(-8.0, 16.0), corner(-8.0, -16.0)], INK);
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

fn on_sheet(point: SheetPoint) -> Pixel {
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
