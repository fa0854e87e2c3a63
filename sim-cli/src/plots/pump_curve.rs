//! The pump's curve, what the machine asks of it, and where both meet.

use super::axes::{Axis, Frame};
use super::picture::Picture;
use super::theme::{BLUE, FAINT, HPos, INK, ORANGE, RGBColor, VPos, anchored, bold, filled, level};
use crate::results::FinishedStep;
use sim_core::findings::PumpDuty;
use sim_core::hydraulics::{Solver, pump_curve, system_curve};
use sim_core::units::{Quantity as Q, display_unit};

/// Points of each curve.
const POINTS: usize = 40;

/// The picture of one pump; `None` where it is still.
pub(super) fn of_pump(view: &FinishedStep<'_>, duty: &PumpDuty) -> Result<Option<Picture>, String> {
    let plumbing = view.plumbing();
    let branch = plumbing.branch(duty.pump.id);
    let Some(pump) = branch.part.pump().filter(|_| duty.speed_share > 0.0 && duty.flow_m3_s > 0.0)
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
    let system = shown(system);
    let at = (flow.from_si(duty.flow_m3_s), pressure.from_si(duty.rise_pa));
    let axis = |title: String, of: fn(&(f64, f64)) -> f64, room: f64| {
        let most = full.iter().map(of).fold(0.0, f64::max);
        Axis { title, from: 0.0, to: room * most.max(of(&at)) }
    };
    let x = axis(format!("flow, {}", flow.symbol), |point| point.0, 1.03);
    let y = axis(format!("rise of pressure, {}", pressure.symbol), |point| point.1, 1.08);
    let title = format!("{}: {} and what the machine asks of it", view.scenario.title, branch.name);
    let mut picture = Picture::new(150, title, below(view, duty));
    let mut frame = Frame::new(&mut picture, x, y);
    frame.axes();
    let same = full == actual;
    if !same {
        frame.line(&full, FAINT, 3);
    }
    frame.line(&actual, BLUE, 5);
    frame.line(&system, ORANGE, 5);
    operating_point(&mut frame, at);
    let now = format!("pump at {} speed", percent(duty.speed_share));
    let mut entries = vec![(now, BLUE), ("what the machine asks".to_owned(), ORANGE)];
    if !same {
        entries.push((format!("pump at {} speed, its top", percent(pump.top_speed)), FAINT));
    }
    legend(&mut frame, entries);
    Ok(Some(picture))
}

fn percent(speed: f64) -> String {
    format!("{:.0} %", 100.0 * speed)
}

/// How the pump runs, in a line.
fn below(view: &FinishedStep<'_>, duty: &PumpDuty) -> String {
    let power =
        duty.shaft_power_w.map(|watt| format!(", {} at the shaft", view.show(watt, Q::Power)));
    format!(
        "step \"{}\": {} at {}, {} speed{}",
        view.step.name,
        view.show(duty.flow_m3_s, Q::Flow),
        view.show(duty.rise_pa, Q::Pressure),
        percent(duty.speed_share),
        power.unwrap_or_default()
    )
}

/// Where both curves meet, and what that is called.
fn operating_point(frame: &mut Frame<'_>, at: (f64, f64)) {
    let (x, y) = frame.at(at.0, at.1);
    frame.picture.circle((x, y), 11, filled(INK));
    let (at, side) = if x > 1200 { (x - 22, HPos::Right) } else { (x + 22, HPos::Left) };
    let style = anchored(bold(24), side, VPos::Bottom);
    frame.picture.words((at, y - 8), "operating point", style);
}

/// Labels in the upper right corner, where falling curves leave room.
fn legend(frame: &mut Frame<'_>, entries: Vec<(String, RGBColor)>) {
    let ((_, top), (right, _)) = frame.corners();
    for (i, (words, colour)) in entries.into_iter().enumerate() {
        let y = top + 34 + 36 * i as i32;
        frame.picture.line([(right - 500, y), (right - 440, y)], colour, 5);
        frame.picture.words((right - 426, y), words, level(26, HPos::Left));
    }
}
