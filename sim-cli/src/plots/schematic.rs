//! The plumbing: flow as the width of lines, pressure as their colour.

use super::View;
use super::axes::{Drawn, Pixel};
use super::plan::air_arrow;
use super::render::{SIZE, picture};
use super::theme::{FAINT, INK, anchored, bold, decimals, stroke, text, tick_step};
use crate::drawing::layered;
use crate::drawing::map_colour;
use crate::drawing::route::{self, Canvas, Sheet, TANK, TUBE, placed};
use crate::drawing::strokes::{
    LEVEL_WITHIN, arrow_head, direction, label_point, longest_piece, midpoint, upright,
};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Circle, PathElement, Polygon, Rectangle, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color as _, RGBColor, WHITE};
use sim_core::plumbing::{Branch, Part, Side};
use sim_core::units::{Quantity as Q, display_unit, show, show_number};

/// Where the plumbing is drawn, px: left, top, right, bottom.
const CANVAS: Canvas = (60.0, 130.0, 1540.0, 770.0);
/// Colour of lines in which nothing flows.
const STILL: RGBColor = RGBColor(176, 176, 176);
/// Flow, as a share of the largest, below which a line counts as still.
const STILL_BELOW: f64 = 1e-6;

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

/// What the picture shows.
pub(super) struct Schematic {
    title: String,
    below: String,
    strokes: Vec<Stroke>,
    /// Foot of each tip and whether it runs.
    tips: Vec<(Pixel, bool)>,
    tank: Option<(Pixel, Pixel)>,
    /// Arrows where compressed air can enter.
    air: Vec<Vec<Pixel>>,
    labels: Vec<(Pixel, String, HPos, VPos, u32)>,
    scale: (f64, f64),
    unit: &'static str,
    widest: String,
}

picture!(Schematic);

impl Schematic {
    pub(super) fn of(view: &View<'_>) -> Self {
        let plumbing = &view.scenario.machine.plumbing;
        let sheet = route::sheet(plumbing);
        let unit = display_unit(Q::Pressure, view.units);
        let (low, high) = pressure_range(view);
        let largest = view.end.flow_m3_s.iter().fold(0.0f64, |most, q| most.max(q.abs()));
        let mut picture = Self {
            title: format!("{}: flow and pressure", view.scenario.title),
            below: format!(
                "step \"{}\": width of a line shows its flow, colour the pressure{}; grey lines are still",
                view.step.name,
                if sheet.is_some() { " from header to tips" } else { "" }
            ),
            strokes: Vec::new(),
            tips: Vec::new(),
            tank: None,
            air: Vec::new(),
            labels: Vec::new(),
            scale: (unit.from_si(low), unit.from_si(high)),
            unit: unit.symbol,
            widest: show(largest, Q::Flow, view.units),
        };
        let colour_of = |pa: f64| map_colour((pa - low) / (high - low));
        let shade = |i: usize| {
            let branch = &plumbing.branches[i];
            let ends = [branch.from, branch.to].map(|end| view.end.static_pressure_pa[end.index()]);
            colour_of(0.5 * (ends[0] + ends[1]))
        };
        match &sheet {
            Some(sheet) => picture.boom(view, sheet, largest, &shade, &colour_of),
            None => picture.network(view, largest, &shade),
        }
        picture
    }

    fn boom(
        &mut self,
        view: &View<'_>,
        sheet: &Sheet,
        largest: f64,
        shade: &dyn Fn(usize) -> RGBColor,
        colour_of: &dyn Fn(f64) -> RGBColor,
    ) {
        let plumbing = &view.scenario.machine.plumbing;
        for (i, path) in sheet.paths.iter().enumerate() {
            let path: Vec<Pixel> = path.iter().map(|point| on_sheet(*point)).collect();
            let mut stroke = self::stroke_of(view, i, path, largest, shade(i));
            // Arrows in every fourth piece of tube are enough.
            if plumbing.branches[i].side == Side::Boom && i % 4 != 1 {
                stroke.arrow = None;
            }
            self.strokes.push(stroke);
        }
        for (node, bar) in &sheet.bars {
            let pressure = view.end.static_pressure_pa[node.index()];
            let path: Vec<Pixel> = bar.iter().map(|point| on_sheet(*point)).collect();
            let (colour, width) = (colour_of(pressure), WIDEST);
            self.strokes.push(Stroke { path, colour, width, arrow: None, symbol: None });
        }
        for (tip, finding) in plumbing.tips.iter().zip(&view.findings.tips) {
            let foot = on_sheet((tip.x_m / sheet.half_m, TUBE));
            self.tips.push((foot, finding.runs()));
        }
        let (a, b) = (on_sheet(TANK.0), on_sheet(TANK.1));
        self.tank = Some((a, b));
        let middle = ((a.0 + b.0) / 2, (a.1 + b.1) / 2);
        self.labels.push((middle, "tank".into(), HPos::Center, VPos::Center, 24));
        let arrows = sheet.air.iter();
        self.air = arrows.map(|(_, path)| path.iter().map(|at| on_sheet(*at)).collect()).collect();
        self.section_labels(view, sheet);
        self.row_labels(view, sheet);
    }

    fn section_labels(&mut self, view: &View<'_>, sheet: &Sheet) {
        let plumbing = &view.scenario.machine.plumbing;
        let narrow = view.findings.sections.len() > 9;
        for found in &view.findings.sections {
            let of_section = |tip: &&sim_core::plumbing::Tip| tip.section == Some(found.section.id);
            let x: Vec<f64> = plumbing.tips.iter().filter(of_section).map(|tip| tip.x_m).collect();
            let (Some(from), Some(to)) = (x.first(), x.last()) else { continue };
            let at = on_sheet((0.5 * (from + to) / sheet.half_m, TUBE + 5.0));
            let name = &found.section;
            let flow = show(found.flow_m3_s, Q::Flow, view.units);
            let label = match (narrow, found.running_tips) {
                (true, _) => name.to_string(),
                (false, 0) => format!("{name}: off"),
                (false, _) => format!("{name}: {flow}"),
            };
            self.labels.push((at, label, HPos::Center, VPos::Bottom, 20));
        }
    }

    /// Names under the bottom row, and what pump and header are at.
    fn row_labels(&mut self, view: &View<'_>, sheet: &Sheet) {
        let plumbing = &view.scenario.machine.plumbing;
        for (k, &i) in sheet.row.iter().enumerate() {
            let branch = &plumbing.branches[i];
            let path = &sheet.paths[i];
            let (x, y) = on_sheet((0.5 * (path[0].0 + path[1].0), path[0].1));
            let above = if k % 2 == 0 { 14 } else { 36 };
            let name = branch.name.replace('-', " ");
            // The first name ends at the tank.
            let half = LETTER * name.chars().count() as i32 / 2;
            let x = x.min(on_sheet(TANK.0).0 - half);
            if branch.part.pump().is_some() {
                let rise = show(-view.end.loss_pa[i], Q::Pressure, view.units);
                let flow = show(view.end.flow_m3_s[i], Q::Flow, view.units);
                let label = format!("{name}: {rise}, {flow}");
                self.labels.push(((x, y - 60), label, HPos::Center, VPos::Bottom, 22));
            } else {
                self.labels.push(((x, y - above), name, HPos::Center, VPos::Bottom, 18));
            }
        }
        let at = on_sheet((-0.03, 24.0));
        let pressure = view.end.static_pressure_pa[sheet.header.index()];
        let label = format!("header: {}", show(pressure, Q::Pressure, view.units));
        self.labels.push((at, label, HPos::Right, VPos::Center, 22));
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let to_tank = branch.side == Side::Tank;
            if !to_tank && branch.name != "return-main" {
                continue;
            }
            let flow = show(view.end.flow_m3_s[i], Q::Flow, view.units);
            let label = format!("{}: {flow}", branch.name.replace('-', " "));
            let path = &sheet.paths[i];
            let (x, y) = on_sheet(if to_tank { path[1] } else { (0.5, path[0].1) });
            let (at, across, up) = if to_tank {
                ((x - 14, y), HPos::Right, VPos::Center)
            } else {
                ((x, y - 14), HPos::Center, VPos::Bottom)
            };
            self.labels.push((at, label, across, up, 19));
        }
    }

    fn network(&mut self, view: &View<'_>, largest: f64, shade: &dyn Fn(usize) -> RGBColor) {
        let plumbing = &view.scenario.machine.plumbing;
        let (left, top, right, bottom) = CANVAS;
        let pixel = |(x, y): (f64, f64)| {
            let px = left + 60.0 + x * (right - left - 120.0);
            (px.round() as i32, (top + y * (bottom - top)).round() as i32)
        };
        let points: Vec<Pixel> = layered::points(plumbing).into_iter().map(pixel).collect();
        let paths = layered::paths(plumbing, &points);
        for ((i, branch), path) in plumbing.branches.iter().enumerate().zip(paths) {
            let path_end = (points[branch.from.index()], points[branch.to.index()]);
            self.strokes.push(stroke_of(view, i, path, largest, shade(i)));
            let at = label_point(&self.strokes[i].path);
            let flow = show_number(view.end.flow_m3_s[i].abs(), Q::Flow, view.units);
            let label = format!("{} {flow}", branch.name);
            let level = (path_end.0.1 - path_end.1.1).abs() < LEVEL_WITHIN;
            self.labels.push(if level {
                ((at.0, at.1 - 12), label, HPos::Center, VPos::Bottom, 18)
            } else {
                ((at.0 + 16, at.1), label, HPos::Left, VPos::Center, 18)
            });
        }
        for (i, node) in plumbing.nodes.iter().enumerate() {
            let pressure = show(view.end.static_pressure_pa[i], Q::Pressure, view.units);
            let tank =
                node.tank.map(|c| format!(" ({})", plumbing.tank(c.tank).name)).unwrap_or_default();
            let label = format!("{}{tank}: {pressure}", node.name);
            let at = (points[i].0, points[i].1 + 16);
            self.labels.push((at, label, HPos::Center, VPos::Top, 19));
        }
        for (tip, finding) in plumbing.tips.iter().zip(&view.findings.tips) {
            self.tips.push((points[tip.node.index()], finding.runs()));
        }
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        area.fill(&WHITE)?;
        area.draw(&Text::new(self.title.clone(), (60, 26), bold(34)))?;
        area.draw(&Text::new(self.below.clone(), (60, 72), text(24)))?;
        if let Some((a, b)) = self.tank {
            area.draw(&Rectangle::new([a, b], RGBColor(244, 244, 244).filled()))?;
            area.draw(&Rectangle::new([a, b], stroke(INK, 3)))?;
        }
        let mut order: Vec<&Stroke> = self.strokes.iter().collect();
        order.sort_by_key(|stroke| stroke.width);
        for line in &order {
            area.draw(&PathElement::new(line.path.clone(), stroke(line.colour, line.width)))?;
        }
        for line in &order {
            self.marks(area, line)?;
        }
        for &((x, y), runs) in &self.tips {
            let spray = [(x, y - 6), (x - 5, y - 18), (x + 5, y - 18)];
            let style = if runs { INK.filled() } else { WHITE.filled() };
            area.draw(&Polygon::new(spray.to_vec(), style))?;
            let outline: Vec<Pixel> = spray.into_iter().chain([spray[0]]).collect();
            area.draw(&PathElement::new(outline, stroke(INK, 1)))?;
        }
        for (at, label, horizontal, vertical, size) in &self.labels {
            let style = anchored(text(*size), *horizontal, *vertical);
            area.draw(&Text::new(label.clone(), *at, style))?;
        }
        self.air.iter().try_for_each(|path| air_arrow(area, path, 20, false))?;
        self.colour_bar(area)
    }

    fn marks<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>, line: &Stroke) -> Drawn<DB> {
        if let Some((at, towards)) = line.arrow {
            area.draw(&Polygon::new(arrow_head(at, towards, line.width), WHITE.filled()))?;
        }
        let middle = midpoint(&line.path);
        match line.symbol {
            Some(Symbol::Pump) => {
                area.draw(&Circle::new(middle, 20, WHITE.filled()))?;
                area.draw(&Circle::new(middle, 20, stroke(INK, 3)))?;
                let (x, y) = middle;
                let wheel = vec![(x - 18, y), (x + 8, y - 16), (x + 8, y + 16)];
                area.draw(&Polygon::new(wheel, INK.filled()))
            }
            Some(Symbol::Valve) => {
                let (x, y) = middle;
                for side in [-1, 1] {
                    let wing = if upright(&line.path) {
                        vec![(x, y), (x - 6, y + 10 * side), (x + 6, y + 10 * side)]
                    } else {
                        vec![(x, y), (x + 10 * side, y - 8), (x + 10 * side, y + 8)]
                    };
                    area.draw(&Polygon::new(wing, INK.filled()))?;
                }
                Ok(())
            }
            Some(Symbol::Other) => {
                let (x, y) = middle;
                let corners = [(x - 8, y - 8), (x + 8, y + 8)];
                area.draw(&Rectangle::new(corners, WHITE.filled()))?;
                area.draw(&Rectangle::new(corners, stroke(INK, 2)))
            }
            None => Ok(()),
        }
    }

    fn colour_bar<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let (left, right, top, bottom) = (60, 660, SIZE.1 as i32 - 84, SIZE.1 as i32 - 60);
        for x in left..right {
            let colour = map_colour(f64::from(x - left) / f64::from(right - left));
            area.draw(&Rectangle::new([(x, top), (x + 1, bottom)], colour.filled()))?;
        }
        area.draw(&Rectangle::new([(left, top), (right, bottom)], stroke(FAINT, 1)))?;
        let (low, high) = self.scale;
        let step = tick_step(high - low, 5.0);
        let digits = decimals(step);
        for k in (low / step).ceil() as i64..=(high / step).floor() as i64 {
            let value = k as f64 * step;
            let share = (value - low) / (high - low);
            let x = left + (share * f64::from(right - left)).round() as i32;
            area.draw(&PathElement::new(vec![(x, bottom), (x, bottom + 6)], stroke(INK, 1)))?;
            let style = anchored(text(20), HPos::Center, VPos::Top);
            area.draw(&Text::new(format!("{value:.digits$}"), (x, bottom + 9), style))?;
        }
        let style = anchored(text(22), HPos::Left, VPos::Center);
        let middle = (top + bottom) / 2;
        let label = format!("static pressure, {}", self.unit);
        area.draw(&Text::new(label, (right + 18, middle), style.clone()))?;
        let path = vec![(1040, middle), (1110, middle)];
        area.draw(&PathElement::new(path, stroke(FAINT, WIDEST)))?;
        area.draw(&Text::new(format!("{} (the largest flow)", self.widest), (1126, middle), style))
    }
}

/// Room of a letter of the smallest names, px.
const LETTER: i32 = 10;
/// Width of the line with the largest flow, px.
const WIDEST: u32 = 16;

fn on_sheet(point: (f64, f64)) -> Pixel {
    placed(point, CANVAS)
}

/// The pressures that the colours tell apart: on a boom those from header to tips, elsewhere all after
/// the pumps.
fn pressure_range(view: &View<'_>) -> (f64, f64) {
    let plumbing = &view.scenario.machine.plumbing;
    let has_boom = plumbing.branches.iter().any(|branch| branch.side == Side::Boom);
    let sectional = |b: &Branch| b.section.is_some() && matches!(b.side, Side::Feed | Side::Boom);
    let counts = |b: &&Branch| (!has_boom || sectional(b)) && b.part.pump().is_none();
    let branches = plumbing.branches.iter().filter(counts);
    let ends = branches.flat_map(|branch| [branch.from, branch.to]);
    let pressures = ends.map(|end| view.end.static_pressure_pa[end.index()]);
    let (low, high) = pressures
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p), high.max(p)));
    if high - low > 100.0 { (low, high) } else { (low - 50.0, low + 50.0) }
}

fn stroke_of(
    view: &View<'_>,
    i: usize,
    path: Vec<Pixel>,
    largest: f64,
    colour: RGBColor,
) -> Stroke {
    let flow = view.end.flow_m3_s[i];
    let share = if largest > 0.0 { flow.abs() / largest } else { 0.0 };
    let still = share < STILL_BELOW;
    let symbol = match view.scenario.machine.plumbing.branches[i].part {
        Part::Line(_) => None,
        Part::Pump(_) => Some(Symbol::Pump),
        Part::Valve(_) => Some(Symbol::Valve),
        _ => Some(Symbol::Other),
    };
    let width = if still { 3 } else { (3.0 + f64::from(WIDEST - 3) * share.sqrt()).round() as u32 };
    let arrow = longest_piece(&path).filter(|_| !still && symbol.is_none()).map(|(a, b)| {
        let forward = if flow > 0.0 { (a, b) } else { (b, a) };
        direction(forward.0, forward.1)
    });
    Stroke { path, colour: if still { STILL } else { colour }, width, arrow, symbol }
}
