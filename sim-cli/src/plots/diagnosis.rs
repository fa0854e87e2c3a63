//! Pressure along the boom as measured, as the healthy machine and as the best explanation give it.

use super::along_boom::{AlongBoom, tip_groups};
use super::axes::{Axis, Frame, least_span};
use super::picture::{Mark, Picture};
use super::theme::{BLUE, INK, VERMILION, filled, stroke};
use crate::results::Diagnosed;
use crate::words::diagnosis::short_words;
use sim_core::diagnosis::pressure_of_catch;
use sim_core::hydraulics::FlowState;
use sim_core::plumbing::Plumbing;
use sim_core::procedure::Action;
use sim_core::scenario::{ReadingPlace, Scenario};
use sim_core::units::{Quantity as Q, display_unit};

/// Smallest range of pressure shown, as a share of the mean.
const LEAST_RANGE: f64 = 0.04;

/// A path along a section.
type SectionPath = Vec<(f64, f64)>;

/// The picture of `diagnosed`.
pub(super) fn measured_pressure(diagnosed: &Diagnosed) -> Picture {
    let (scenario, d) = (&diagnosed.scenario, &diagnosed.diagnosis);
    let plumbing = &scenario.machine.plumbing;
    let state = diagnosed.readings.states.iter().position(|s| s.action == Action::Spray);
    let state = state.unwrap_or(0);
    let (length, pressure) =
        (display_unit(Q::Length, diagnosed.units), display_unit(Q::Pressure, diagnosed.units));
    let groups = tip_groups(plumbing);
    let paths = |instant: &FlowState| -> Vec<SectionPath> {
        let at = |i: &usize| {
            let pa = instant.tip_pressure_pa[*i];
            (length.from_si(plumbing.tips[*i].x_m), pressure.from_si(pa))
        };
        groups.iter().map(|group| group.tips.iter().map(at).collect()).collect()
    };
    let (healthy, best) = (paths(&d.healthy[state]), paths(&d.explanations[0].instants[state]));
    // Position, pressure and its uncertainty.
    let (mut gauges, mut catches) = (Vec::new(), Vec::new());
    for r in d.healthy_readings.iter().filter(|r| r.state == state) {
        if let Some((x_m, pa, uncertainty)) = along(r.place, r.read, r.sigma, scenario) {
            let mark = (length.from_si(x_m), pressure.from_si(pa), pressure.from_si(uncertainty));
            let marks = if r.place.is_pressure() { &mut gauges } else { &mut catches };
            marks.push(mark);
        }
    }
    let values = healthy.iter().chain(&best).flatten().map(|(_, y)| *y);
    let marks = gauges
        .iter()
        .chain(&catches)
        .flat_map(|(_, y, uncertainty)| [y - uncertainty, y + uncertainty]);
    let y_title = format!("static pressure, {}", pressure.symbol);
    let y = Axis::around(y_title, values.chain(marks), (LEAST_RANGE, least_span(&pressure)));
    let title = format!("{}: pressure along the boom", scenario.title);
    let below = format!(
        "state \"{}\", best explanation: {}",
        diagnosed.readings.states[state].name,
        short_words(diagnosed, &d.explanations[0])
    );
    let mut picture = Picture::new(150, title, below);
    let boom = AlongBoom::of(plumbing, &groups, diagnosed.units);
    let mut frame = Frame::new(&mut picture, boom.x.clone(), y);
    boom.ground(&mut frame);
    // The healthy machine is drawn wide: it shows beside the best explanation where both agree.
    healthy.iter().for_each(|path| frame.line(path, BLUE, 9));
    best.iter().for_each(|path| frame.line(path, VERMILION, 3));
    let (gauge, catch) = (Mark::Dot(7, filled(INK)), Mark::Dot(7, stroke(INK, 2)));
    draw_readings(&mut frame, &gauges, gauge);
    draw_readings(&mut frame, &catches, catch);
    frame.legend(&[
        ("healthy machine", Mark::Line(14, BLUE, 9)),
        ("best explanation", Mark::Line(14, VERMILION, 3)),
        ("gauge", gauge),
        ("catch test as a new tip's pressure", catch),
    ]);
    picture
}

/// Draws `readings`, each a position, a pressure and its uncertainty, as a `mark` on its bar.
fn draw_readings(frame: &mut Frame<'_>, readings: &[(f64, f64, f64)], mark: Mark) {
    for &(x, y, uncertainty) in readings {
        let ends = [frame.at(x, y - uncertainty), frame.at(x, y + uncertainty)];
        frame.picture.line(ends, INK, 2);
        frame.mark((x, y), mark);
    }
}

/// Position and pressure of a reading on the boom with its uncertainty; a catch test counts as the pressure at which a new tip
/// would give its flow.
fn along(
    place: ReadingPlace,
    read: f64,
    sigma: f64,
    scenario: &Scenario,
) -> Option<(f64, f64, f64)> {
    let plumbing: &Plumbing = &scenario.machine.plumbing;
    match place {
        ReadingPlace::TestGauge(node) => {
            let on_boom = plumbing.tips.iter().any(|tip| tip.node == node)
                || plumbing.sections.iter().any(|section| section.feed_end == Some(node));
            let x_m = plumbing.node(node).x_m.filter(|_| on_boom)?;
            Some((x_m, read, sigma))
        }
        ReadingPlace::Catch(id) => {
            let tip = &plumbing.tips[id.index()];
            let pa = pressure_of_catch(scenario, id, read);
            // Pressure goes with the square of flow.
            let uncertainty = if read > 0.0 { 2.0 * pa * sigma / read } else { 0.0 };
            Some((tip.x_m, pa, uncertainty))
        }
        _ => None,
    }
}
