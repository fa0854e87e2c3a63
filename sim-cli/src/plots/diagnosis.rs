//! Pressure along the boom as measured, as the healthy machine and as the best explanation give it.

use super::along_boom::{AlongBoom, tip_groups};
use super::axes::{Axis, Drawn, Frame};
use super::render::picture;
use super::theme::{BLUE, INK, VERMILION, stroke};
use crate::results::Diagnosed;
use crate::words::diagnosis::short_words;
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Circle, PathElement};
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;
use sim_core::diagnosis::pressure_of_catch;
use sim_core::hydraulics::FlowState;
use sim_core::plumbing::Plumbing;
use sim_core::procedure::Action;
use sim_core::scenario::{Place, Scenario};
use sim_core::units::{Quantity as Q, display_unit};

/// Smallest range of pressure shown, as a share of the mean.
const LEAST_RANGE: f64 = 0.04;

/// A path along a section.
type Path = Vec<(f64, f64)>;

/// What the picture shows, in the user's units.
pub(super) struct MeasuredPressure {
    title: String,
    below: String,
    boom: AlongBoom,
    y: Axis,
    healthy: Vec<Path>,
    best: Vec<Path>,
    /// Position, pressure and its uncertainty.
    gauges: Vec<(f64, f64, f64)>,
    catches: Vec<(f64, f64, f64)>,
}

picture!(MeasuredPressure);

impl MeasuredPressure {
    pub(super) fn of(diagnosed: &Diagnosed) -> Self {
        let (scenario, d) = (&diagnosed.scenario, &diagnosed.diagnosis);
        let plumbing = &scenario.machine.plumbing;
        let state = diagnosed.readings.states.iter().position(|s| s.action == Action::Spray);
        let state = state.unwrap_or(0);
        let (length, pressure) =
            (display_unit(Q::Length, diagnosed.units), display_unit(Q::Pressure, diagnosed.units));
        let groups = tip_groups(plumbing);
        let paths = |instant: &FlowState| -> Vec<Path> {
            let at = |i: &usize| {
                let pa = instant.tip_pressure_pa[*i];
                (length.from_si(plumbing.tips[*i].x_m), pressure.from_si(pa))
            };
            groups.iter().map(|group| group.tips.iter().map(at).collect()).collect()
        };
        let (healthy, best) = (paths(&d.healthy[state]), paths(&d.explanations[0].instants[state]));
        let (mut gauges, mut catches) = (Vec::new(), Vec::new());
        for r in d.healthy_readings.iter().filter(|r| r.state == state) {
            if let Some((x_m, pa, uncertainty)) = along(r.place, r.read, r.sigma, scenario) {
                let mark =
                    (length.from_si(x_m), pressure.from_si(pa), pressure.from_si(uncertainty));
                let marks = if r.place.is_pressure() { &mut gauges } else { &mut catches };
                marks.push(mark);
            }
        }
        let values = healthy.iter().chain(&best).flatten().map(|(_, y)| *y);
        let marks = gauges
            .iter()
            .chain(&catches)
            .flat_map(|(_, y, uncertainty)| [y - uncertainty, y + uncertainty]);
        let y = pressures(values.chain(marks), pressure.symbol);
        Self {
            title: format!("{}: pressure along the boom", scenario.title),
            below: format!(
                "state \"{}\", best explanation: {}",
                diagnosed.readings.states[state].name,
                short_words(diagnosed, &d.explanations[0])
            ),
            boom: AlongBoom::of(plumbing, &groups, diagnosed.units),
            y,
            healthy,
            best,
            gauges,
            catches,
        }
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let frame = Frame::new(area, &self.boom.x, &self.y);
        frame.title(&self.title, &self.below)?;
        self.boom.ground(&frame)?;
        // The healthy machine is drawn wide: it shows beside the best explanation where both agree.
        self.healthy.iter().try_for_each(|path| frame.line(path, BLUE, 9))?;
        self.best.iter().try_for_each(|path| frame.line(path, VERMILION, 3))?;
        let mark = |&(x, y, uncertainty): &(f64, f64, f64), filled: bool| {
            let (low, high) = (frame.at(x, y - uncertainty), frame.at(x, y + uncertainty));
            area.draw(&PathElement::new(vec![low, high], stroke(INK, 2)))?;
            let style = if filled { INK.filled() } else { INK.stroke_width(2) };
            area.draw(&Circle::new(frame.at(x, y), 7, style))
        };
        self.gauges.iter().try_for_each(|gauge| mark(gauge, true))?;
        self.catches.iter().try_for_each(|catch| mark(catch, false))?;
        let dash = |(x, y): (i32, i32), colour, width| {
            area.draw(&PathElement::new(vec![(x - 14, y), (x + 14, y)], stroke(colour, width)))
        };
        frame.legend(&[
            ("healthy machine", &|at| dash(at, BLUE, 9)),
            ("best explanation", &|at| dash(at, VERMILION, 3)),
            ("gauge", &|at| area.draw(&Circle::new(at, 7, INK.filled()))),
            ("catch test as a new tip's pressure", &|at| {
                area.draw(&Circle::new(at, 7, INK.stroke_width(2)))
            }),
        ])
    }
}

/// Position and pressure of a reading on the boom with its uncertainty; a catch test counts as the pressure at which a new tip
/// would give its flow.
fn along(place: Place, read: f64, sigma: f64, scenario: &Scenario) -> Option<(f64, f64, f64)> {
    let plumbing: &Plumbing = &scenario.machine.plumbing;
    match place {
        Place::TestGauge(node) => {
            let on_boom = plumbing.tips.iter().any(|tip| tip.node == node)
                || plumbing.sections.iter().any(|section| section.feed_end == Some(node));
            let x_m = plumbing.node(node).x_m.filter(|_| on_boom)?;
            Some((x_m, read, sigma))
        }
        Place::Catch(id) => {
            let tip = &plumbing.tips[id.index()];
            let pa = pressure_of_catch(scenario, id, read);
            // Pressure goes with the square of flow.
            let uncertainty = if read > 0.0 { 2.0 * pa * sigma / read } else { 0.0 };
            Some((tip.x_m, pa, uncertainty))
        }
        _ => None,
    }
}

fn pressures(values: impl Iterator<Item = f64>, unit: &str) -> Axis {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for value in values.filter(|value| value.is_finite()) {
        (low, high) = (low.min(value), high.max(value));
    }
    if low > high {
        (low, high) = (0.0, 1.0);
    }
    Axis::around(format!("static pressure, {unit}"), low, high, LEAST_RANGE)
}
