//! What do flows and gauges do while the run goes on?

use super::axes::{Axis, Drawn, Frame, Margins};
use super::curves::{Curve, curves, from_nothing, ground};
use super::render::{SIZE, picture};
use super::theme::CURVES;
use super::timeline::{Lasting, Run};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::prelude::DrawingBackend;
use sim_core::simulation::Sample;
use sim_core::units::{Quantity as Q, display_unit};

/// Margins of the frames; the upper one leaves its axis of time to the lower one.
const UPPER: Margins = (150, 130, 50, 92);
const LOWER: Margins = (150, 20, 50, 140);
const ALONE: Margins = (150, 130, 50, 140);
/// Height of the upper frame with its margins, px.
const UPPER_HEIGHT: i32 = SIZE.1 as i32 * 53 / 100;

/// What the picture shows.
pub(super) struct FlowAndPressure {
    title: String,
    x: Axis,
    x_above: Axis,
    flow: Axis,
    pressure: Axis,
    steps: Vec<Lasting>,
    flows: Vec<Curve>,
    gauges: Vec<Curve>,
    /// Gauges there are beyond those that the picture shows.
    more: usize,
}

picture!(FlowAndPressure);

impl FlowAndPressure {
    pub(super) fn of(run: &Run<'_>) -> Self {
        let plumbing = &run.scenario.plumbing;
        let unit = display_unit(Q::Flow, run.units);
        let flow = |name: &str, k: usize, of: &dyn Fn(&Sample) -> f32| {
            let points = run.curve(|sample| unit.from_si(f64::from(of(sample))));
            Curve::full(name, points, CURVES[k])
        };
        let flows = vec![
            flow("pumped", 0, &|sample| sample.pumped_m3_s),
            flow("sprayed", 1, &|sample| sample.sprayed_m3_s),
            flow("returned", 2, &|sample| sample.returned_m3_s),
        ];
        let pressure = display_unit(Q::Pressure, run.units);
        let gauge = |(i, colour): (usize, _)| {
            let name: &str = &plumbing.gauges[i].name;
            let points = run.curve(|sample| pressure.from_si(f64::from(sample.gauges_pa[i])));
            Curve::full(&format!("gauge {name}"), points, colour)
        };
        let gauges: Vec<Curve> = (0..plumbing.gauges.len()).zip(CURVES).map(gauge).collect();
        let x = run.axis();
        Self {
            title: format!("{}: flow and pressure over time", run.scenario.title),
            x_above: Axis { title: String::new(), ..x.clone() },
            x,
            flow: from_nothing(format!("flow, {}", unit.symbol), &flows),
            pressure: from_nothing(format!("static pressure, {}", pressure.symbol), &gauges),
            steps: run.steps(),
            more: plumbing.gauges.len() - gauges.len(),
            flows,
            gauges,
        }
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let below = match self.more {
            0 => "flow of all pumps, of all tips, and of the return side into tanks".to_owned(),
            more => format!("flow of pumps, tips and return side; {more} more gauges not shown"),
        };
        if self.gauges.is_empty() {
            let frame = Frame::within(area, &self.x, &self.flow, ALONE);
            frame.title(&self.title, &below)?;
            ground(&frame, &self.steps, true)?;
            return curves(area, &frame, &self.flows);
        }
        let (above, under) = area.split_vertically(UPPER_HEIGHT);
        let frame = Frame::within(&above, &self.x_above, &self.flow, UPPER);
        frame.title(&self.title, &below)?;
        ground(&frame, &self.steps, true)?;
        curves(&above, &frame, &self.flows)?;
        under.fill(&plotters::style::WHITE)?;
        let frame = Frame::within(&under, &self.x, &self.pressure, LOWER);
        ground(&frame, &self.steps, false)?;
        curves(&under, &frame, &self.gauges)
    }
}
