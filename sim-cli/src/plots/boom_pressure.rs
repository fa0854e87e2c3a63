//! Pressure along the boom: every tip, both ends of every section, what is held.

use super::View;
use super::axes::{Axis, Drawn, Frame};
use super::render::picture;
use super::theme::{BAND, BLUE, GREEN, ORANGE, VERMILION};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Circle, Rectangle, TriangleMarker};
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;
use sim_core::plumbing::{NodeId, Plumbing};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show};

/// Smallest range of pressure shown, as a share of the mean: less would magnify nothing.
const LEAST_RANGE: f64 = 0.02;

/// What the picture shows, in the user's units.
pub(super) struct BoomPressure {
    title: String,
    below: String,
    x: Axis,
    y: Axis,
    sections: Vec<SectionStrip>,
    held: Option<(f64, String)>,
    floor: Option<(f64, String)>,
}

struct SectionStrip {
    name: String,
    from: f64,
    to: f64,
    /// Position, pressure and whether the tip runs.
    tips: Vec<(f64, f64, bool)>,
    feed: Option<(f64, f64)>,
    far: Vec<(f64, f64)>,
}

picture!(BoomPressure);

impl BoomPressure {
    pub(super) fn of(view: &View<'_>) -> Self {
        let sections = strips(view);
        let unit = display_unit(Q::Pressure, view.units);
        let gauge = view.findings.held.iter().find(|held| held.is_pressure);
        let held = gauge.map(|held| {
            (
                unit.from_si(held.got),
                format!("{} at {}", show(held.got, Q::Pressure, view.units), held.at),
            )
        });
        let limit =
            view.scenario.limits.section_drop.as_ref().filter(|_| view.findings.boom.is_some());
        let floor = limit.zip(gauge).map(|(limit, held)| {
            let pa = held.got * (1.0 - limit.at_most);
            let label = format!("{:.0} % below the gauge: {}", 100.0 * limit.at_most, limit.source);
            (unit.from_si(pa), label)
        });
        let spread = view.findings.boom.as_ref().map_or_else(
            || "no tip sprays".to_owned(),
            |boom| format!("spread over the boom {:.1} %", 100.0 * boom.spread),
        );
        let drop = view.findings.sections.iter().filter_map(|s| s.drop_from_gauge);
        let drop = drop.reduce(f64::max).map(|drop| {
            format!(", largest drop from gauge to a section's far end {:.1} %", 100.0 * drop)
        });
        Self {
            title: format!("{}: pressure along the boom", view.scenario.title),
            below: format!("step \"{}\": {spread}{}", view.step.name, drop.unwrap_or_default()),
            x: along_boom(view.units, &sections.iter().map(|s| (s.from, s.to)).collect::<Vec<_>>()),
            y: pressures(
                &sections,
                held.as_ref().map(|held| held.0),
                floor.as_ref().map(|f| f.0),
                format!("static pressure, {}", unit.symbol),
            ),
            sections,
            held,
            floor,
        }
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let frame = Frame::new(area, &self.x, &self.y);
        frame.title(&self.title, &self.below)?;
        for (i, section) in self.sections.iter().enumerate() {
            if i % 2 == 0 {
                frame.strip(section.from, section.to, BAND)?;
            }
        }
        frame.axes()?;
        names(&frame, &self.sections)?;
        if let Some((y, label)) = &self.held {
            frame.level(*y, GREEN, label)?;
        }
        if let Some((y, label)) = &self.floor {
            frame.level(*y, VERMILION, label)?;
        }
        for section in &self.sections {
            self.section(area, &frame, section)?;
        }
        frame.legend(&[
            ("tip", &|at| area.draw(&Circle::new(at, 6, BLUE.filled()))),
            ("section feed end", &|at| area.draw(&TriangleMarker::new(at, 11, ORANGE.filled()))),
            ("far end", &|at| area.draw(&square(at))),
        ])
    }

    fn section<DB: DrawingBackend>(
        &self,
        area: &DrawingArea<DB, Shift>,
        frame: &Frame<'_, DB>,
        section: &SectionStrip,
    ) -> Drawn<DB> {
        let path: Vec<(f64, f64)> = section.tips.iter().map(|&(x, y, _)| (x, y)).collect();
        frame.line(&path, BLUE, 2)?;
        for &(x, y, runs) in &section.tips {
            let style = if runs { BLUE.filled() } else { BLUE.stroke_width(2) };
            area.draw(&Circle::new(frame.at(x, y), 5, style))?;
        }
        if let Some((x, y)) = section.feed {
            area.draw(&TriangleMarker::new(frame.at(x, y), 11, ORANGE.filled()))?;
        }
        for &(x, y) in &section.far {
            area.draw(&square(frame.at(x, y)))?;
        }
        Ok(())
    }
}

fn square((x, y): (i32, i32)) -> Rectangle<(i32, i32)> {
    Rectangle::new([(x - 8, y - 8), (x + 8, y + 8)], VERMILION.stroke_width(3))
}

/// Names of the sections above their strips, as many as fit.
pub(super) fn section_names<DB: DrawingBackend>(
    frame: &Frame<'_, DB>,
    spans: &[(String, f64, f64)],
) -> Drawn<DB> {
    let every = spans.len().div_ceil(24).max(1);
    for (name, from, to) in spans.iter().step_by(every) {
        frame.name_above(0.5 * (from + to), name)?;
    }
    Ok(())
}

fn names<DB: DrawingBackend>(frame: &Frame<'_, DB>, sections: &[SectionStrip]) -> Drawn<DB> {
    let spans: Vec<_> = sections.iter().map(|s| (s.name.clone(), s.from, s.to)).collect();
    section_names(frame, &spans)
}

/// The x axis over `spans`, which it surrounds a little.
pub(super) fn along_boom(units: UnitSystem, spans: &[(f64, f64)]) -> Axis {
    let from = spans.iter().map(|span| span.0).fold(f64::INFINITY, f64::min);
    let to = spans.iter().map(|span| span.1).fold(f64::NEG_INFINITY, f64::max);
    let unit = display_unit(Q::Length, units).symbol;
    let margin = 0.02 * (to - from).max(0.1);
    Axis {
        title: format!("position along the boom, {unit} (left end to right end, seen in travel)"),
        from: from - margin,
        to: to + margin,
    }
}

fn pressures(
    sections: &[SectionStrip],
    held: Option<f64>,
    floor: Option<f64>,
    title: String,
) -> Axis {
    let tips =
        || sections.iter().flat_map(|s| s.tips.iter().map(|tip| tip.1).chain(s.feed.map(|f| f.1)));
    let (low, high) = (
        tips().chain(held).fold(f64::INFINITY, f64::min),
        tips().chain(held).fold(f64::MIN, f64::max),
    );
    // The limit is drawn where the data come near it.
    let low =
        floor.filter(|floor| low - floor < 0.6 * (high - low)).map_or(low, |floor| floor.min(low));
    let mean = 0.5 * (low + high);
    let half = (0.56 * (high - low)).max(0.5 * LEAST_RANGE * mean.abs()).max(1e-6);
    Axis { title, from: mean - half, to: mean + half }
}

fn strips(view: &View<'_>) -> Vec<SectionStrip> {
    let plumbing = &view.scenario.plumbing;
    let length = display_unit(Q::Length, view.units);
    let pressure = display_unit(Q::Pressure, view.units);
    let point = |node: &NodeId| {
        let x = length.from_si(plumbing.node(*node).x_m?);
        Some((x, pressure.from_si(view.end.static_pressure_pa[node.index()])))
    };
    let groups = tip_groups(plumbing);
    let strip = |(name, tips): (String, Vec<usize>)| {
        let section = plumbing.sections.iter().find(|section| section.name == name);
        let x = |i: usize| length.from_si(plumbing.tips[i].x_m);
        let (from, to) = extent(&tips.iter().map(|i| x(*i)).collect::<Vec<_>>());
        let mark = |i: &usize| {
            let finding = &view.findings.tips[*i];
            (x(*i), pressure.from_si(finding.pressure_pa), finding.from_mean.is_some())
        };
        SectionStrip {
            name,
            from,
            to,
            tips: tips.iter().map(mark).collect(),
            feed: section.and_then(|s| s.feed_end.as_ref()).and_then(point),
            far: section.map(|s| s.far_ends.iter().filter_map(point).collect()).unwrap_or_default(),
        }
    };
    groups.into_iter().map(strip).collect()
}

/// Tips by section, each group from left to right; tips of no section make one group.
pub(super) fn tip_groups(plumbing: &Plumbing) -> Vec<(String, Vec<usize>)> {
    let mut groups: Vec<(String, Vec<usize>)> =
        plumbing.sections.iter().map(|section| (section.name.clone(), Vec::new())).collect();
    let mut others = Vec::new();
    for (i, tip) in plumbing.tips.iter().enumerate() {
        match tip.section {
            Some(section) => groups[section.index()].1.push(i),
            None => others.push(i),
        }
    }
    groups.push((String::new(), others));
    groups.retain(|(_, tips)| !tips.is_empty());
    for (_, tips) in &mut groups {
        tips.sort_by(|a, b| plumbing.tips[*a].x_m.total_cmp(&plumbing.tips[*b].x_m));
    }
    groups
}

/// Names of the groups of tips and the strips they cover, in the unit of length.
pub(super) fn tip_spans(
    plumbing: &Plumbing,
    groups: &[(String, Vec<usize>)],
    units: UnitSystem,
) -> Vec<(String, f64, f64)> {
    let length = display_unit(Q::Length, units);
    let span = |(name, tips): &(String, Vec<usize>)| {
        let x: Vec<f64> = tips.iter().map(|i| length.from_si(plumbing.tips[*i].x_m)).collect();
        let (from, to) = extent(&x);
        (name.clone(), from, to)
    };
    groups.iter().map(span).collect()
}

/// The strip that tips at `x` cover: half a spacing beyond the outer ones.
fn extent(x: &[f64]) -> (f64, f64) {
    let half = if x.len() > 1 { 0.5 * (x[1] - x[0]) } else { 0.25 };
    (x[0] - half, x[x.len() - 1] + half)
}
