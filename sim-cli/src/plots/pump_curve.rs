//! The pump's curve, what the machine asks of it, and where both meet.

use super::View;
use super::axes::{Axis, Drawn, Frame};
use super::render::picture;
use super::theme::{BLUE, FAINT, INK, ORANGE, anchored, bold, stroke, text};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Circle, PathElement, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;
use plotters::style::text_anchor::{HPos, VPos};
use sim_core::findings::PumpDuty;
use sim_core::hydraulics::{Solver, pump_curve, system_curve};
use sim_core::units::{Quantity as Q, display_unit, show};

/// Points of each curve.
const POINTS: usize = 40;

/// What the picture shows, in the user's units.
pub(super) struct PumpCurve {
    title: String,
    below: String,
    x: Axis,
    y: Axis,
    full: Vec<(f64, f64)>,
    actual: Vec<(f64, f64)>,
    system: Vec<(f64, f64)>,
    duty: (f64, f64),
    duty_label: String,
    speed_label: String,
    full_label: String,
}

picture!(PumpCurve);

impl PumpCurve {
    /// The picture of one pump; `None` where it is still.
    pub(super) fn of(view: &View<'_>, duty: &PumpDuty) -> Result<Option<Self>, String> {
        let plumbing = &view.scenario.machine.plumbing;
        let branch = plumbing.branch(duty.pump.id);
        let Some(pump) =
            branch.part.pump().filter(|_| duty.speed_share > 0.0 && duty.flow_m3_s > 0.0)
        else {
            return Ok(None);
        };
        let liquid = &view.scenario.course.liquid;
        let mut solver = Solver::new(plumbing, liquid, view.scenario.course.model);
        let (settings, controls) = (&view.step.settings, &view.step.controls);
        let system =
            system_curve(&mut solver, duty.pump.id, settings, controls, pump.top_speed, POINTS)
                .map_err(|error| format!("the system curve: {error}"))?;
        let (flow, pressure) =
            (display_unit(Q::Flow, view.units), display_unit(Q::Pressure, view.units));
        let shown = |points: Vec<(f64, f64)>| -> Vec<(f64, f64)> {
            points.into_iter().map(|(q, p)| (flow.from_si(q), pressure.from_si(p))).collect()
        };
        let full = shown(pump_curve(pump, liquid, pump.top_speed, POINTS));
        let actual = shown(pump_curve(pump, liquid, duty.speed_share, POINTS));
        let most = |points: &[(f64, f64)], of: fn(&(f64, f64)) -> f64| {
            points.iter().map(of).fold(0.0, f64::max)
        };
        let share = |speed: f64| format!("{:.0} %", 100.0 * speed);
        let power = duty
            .shaft_power_w
            .map(|watt| format!(", {} at the shaft", show(watt, Q::Power, view.units)));
        Ok(Some(Self {
            title: format!(
                "{}: {} and what the machine asks of it",
                view.scenario.title, branch.name
            ),
            below: format!(
                "step \"{}\": {} at {}, {} speed{}",
                view.step.name,
                show(duty.flow_m3_s, Q::Flow, view.units),
                show(duty.rise_pa, Q::Pressure, view.units),
                share(duty.speed_share),
                power.unwrap_or_default()
            ),
            x: Axis {
                title: format!("flow, {}", flow.symbol),
                from: 0.0,
                to: 1.03 * most(&full, |point| point.0).max(flow.from_si(duty.flow_m3_s)),
            },
            y: Axis {
                title: format!("rise of pressure, {}", pressure.symbol),
                from: 0.0,
                to: 1.08 * most(&full, |point| point.1).max(pressure.from_si(duty.rise_pa)),
            },
            full,
            actual,
            system: shown(system),
            duty: (flow.from_si(duty.flow_m3_s), pressure.from_si(duty.rise_pa)),
            duty_label: "operating point".into(),
            speed_label: format!("pump at {} speed", share(duty.speed_share)),
            full_label: format!("pump at {} speed, its top", share(pump.top_speed)),
        }))
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let frame = Frame::new(area, &self.x, &self.y);
        frame.title(&self.title, &self.below)?;
        frame.axes()?;
        let same = self.full == self.actual;
        if !same {
            frame.line(&self.full, FAINT, 3)?;
        }
        frame.line(&self.actual, BLUE, 5)?;
        frame.line(&self.system, ORANGE, 5)?;
        let (x, y) = frame.at(self.duty.0, self.duty.1);
        area.draw(&Circle::new((x, y), 11, INK.filled()))?;
        let left = x > 1200;
        let (at, anchor) = if left { (x - 22, HPos::Right) } else { (x + 22, HPos::Left) };
        let style = anchored(bold(24), anchor, VPos::Bottom);
        area.draw(&Text::new(self.duty_label.clone(), (at, y - 8), style))?;
        let mut entries =
            vec![(self.speed_label.as_str(), BLUE), ("what the machine asks", ORANGE)];
        if !same {
            entries.push((self.full_label.as_str(), FAINT));
        }
        legend(area, &frame, &entries)
    }
}

/// Labels in the upper right corner, where falling curves leave room.
fn legend<DB: DrawingBackend>(
    area: &DrawingArea<DB, Shift>,
    frame: &Frame<'_, DB>,
    entries: &[(&str, plotters::style::RGBColor)],
) -> Drawn<DB> {
    let ((_, top), (right, _)) = frame.corners();
    for (i, (words, colour)) in entries.iter().enumerate() {
        let y = top + 34 + 36 * i as i32;
        let path = vec![(right - 390, y), (right - 330, y)];
        area.draw(&PathElement::new(path, stroke(*colour, 5)))?;
        let style = anchored(text(24), HPos::Left, VPos::Center);
        area.draw(&Text::new((*words).to_owned(), (right - 316, y), style))?;
    }
    Ok(())
}
