//! Pressure along the boom: every tip, both ends of every section, what is held.

use super::View;
use super::along_boom::{AlongBoom, TipGroup, tip_groups};
use super::axes::{Axis, Drawn, Frame};
use super::render::picture;
use super::theme::{BLUE, GREEN, ORANGE, VERMILION};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Circle, Rectangle, TriangleMarker};
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;
use sim_core::measures::Measure;
use sim_core::plumbing::NodeId;
use sim_core::units::{Quantity as Q, display_unit, show};

/// Smallest range of pressure shown, as a share of the mean.
const LEAST_RANGE: f64 = 0.02;

/// What the picture shows, in the user's units.
pub(super) struct BoomPressure {
    title: String,
    below: String,
    boom: AlongBoom,
    y: Axis,
    sections: Vec<Marks>,
    held: Option<(f64, String)>,
    floor: Option<(f64, String)>,
}

/// What is marked in a section.
struct Marks {
    /// Position, pressure and whether the tip runs.
    tips: Vec<(f64, f64, bool)>,
    feed: Option<(f64, f64)>,
    far: Vec<(f64, f64)>,
}

picture!(BoomPressure);

impl BoomPressure {
    pub(super) fn of(view: &View<'_>) -> Self {
        let groups = tip_groups(&view.scenario.machine.plumbing);
        let sections: Vec<Marks> = groups.iter().map(|group| marks(view, group)).collect();
        let unit = display_unit(Q::Pressure, view.units);
        let gauge = view.findings.controls.iter().find_map(|c| Some((c, c.actual_pa()?)));
        let held = gauge.map(|(control, pa)| {
            let label = format!("{} at {}", show(pa, Q::Pressure, view.units), control.at);
            (unit.from_si(pa), label)
        });
        let limit =
            view.scenario.limits.on(Measure::SectionDrop).filter(|_| view.findings.boom.is_some());
        let floor = limit.zip(gauge).and_then(|(limit, (_, held_pa))| {
            let most = limit.at_most?;
            let label = format!("{:.0} % below the gauge: {}", 100.0 * most, limit.source);
            Some((unit.from_si(held_pa * (1.0 - most)), label))
        });
        let variation = view.findings.boom.as_ref().map_or_else(
            || "no tip sprays".to_owned(),
            |boom| {
                format!(
                    "pressure variation over the boom {:.1} %",
                    100.0 * boom.pressure_variation_share
                )
            },
        );
        let drop = view.findings.sections.iter().filter_map(|s| s.drop_from_gauge_share);
        let drop = drop.reduce(f64::max).map(|drop| {
            format!(", largest drop from gauge to a section's far end {:.1} %", 100.0 * drop)
        });
        Self {
            title: format!("{}: pressure along the boom", view.scenario.title),
            below: format!("step \"{}\": {variation}{}", view.step.name, drop.unwrap_or_default()),
            boom: AlongBoom::of(&view.scenario.machine.plumbing, &groups, view.units),
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
        let frame = Frame::new(area, &self.boom.x, &self.y);
        frame.title(&self.title, &self.below)?;
        self.boom.ground(&frame)?;
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
        section: &Marks,
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

fn pressures(sections: &[Marks], held: Option<f64>, floor: Option<f64>, title: String) -> Axis {
    let tips =
        || sections.iter().flat_map(|s| s.tips.iter().map(|tip| tip.1).chain(s.feed.map(|f| f.1)));
    let (low, high) = (
        tips().chain(held).fold(f64::INFINITY, f64::min),
        tips().chain(held).fold(f64::MIN, f64::max),
    );
    // The limit is drawn where the data come near it.
    let low =
        floor.filter(|floor| low - floor < 0.6 * (high - low)).map_or(low, |floor| floor.min(low));
    Axis::around(title, low, high, LEAST_RANGE)
}

fn marks(view: &View<'_>, group: &TipGroup) -> Marks {
    let plumbing = &view.scenario.machine.plumbing;
    let length = display_unit(Q::Length, view.units);
    let pressure = display_unit(Q::Pressure, view.units);
    let point = |node: &NodeId| {
        let x = length.from_si(plumbing.node(*node).x_m?);
        Some((x, pressure.from_si(view.end.static_pressure_pa[node.index()])))
    };
    let tip = |i: &usize| {
        let finding = &view.findings.tips[*i];
        let x = length.from_si(plumbing.tips[*i].x_m);
        (x, pressure.from_si(finding.pressure_pa), finding.runs())
    };
    let section = plumbing.sections.iter().find(|section| section.name == group.name);
    Marks {
        tips: group.tips.iter().map(tip).collect(),
        feed: section.and_then(|s| s.feed_end.as_ref()).and_then(point),
        far: section.map(|s| s.far_ends.iter().filter_map(point).collect()).unwrap_or_default(),
    }
}
