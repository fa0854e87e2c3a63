//! Pressure along the boom: every tip, both ends of every section, what is held.

use super::along_boom::{AlongBoom, TipGroup, lies_along, tip_groups};
use super::axes::{Axis, Frame, extent, least_span};
use super::picture::{Mark, Picture};
use super::theme::{BLUE, GREEN, ORANGE, VERMILION, filled, stroke};
use crate::results::FinishedStep;
use sim_core::hydraulics::STILL_M3_S;
use sim_core::measures::Measure;
use sim_core::plumbing::NodeId;
use sim_core::units::{DisplayUnit, Quantity as Q, display_unit};

/// Smallest range of pressure shown, as a share of the mean.
const LEAST_RANGE: f64 = 0.05;

/// What is marked in a section.
struct Marks {
    /// Position, pressure and whether the tip runs.
    tips: Vec<(f64, f64, bool)>,
    feed: Option<(f64, f64)>,
    far: Vec<(f64, f64)>,
}

/// The picture; where tips are at no places along a boom, or nothing flows, there is none.
pub(super) fn boom_pressure(view: &FinishedStep<'_>) -> Option<Picture> {
    let plumbing = view.plumbing();
    let flows = view.record.end.flow_m3_s.iter().any(|flow| flow.abs() > STILL_M3_S);
    if !lies_along(plumbing) || !flows {
        return None;
    }
    let groups = tip_groups(plumbing);
    let sections: Vec<Marks> = groups.iter().map(|group| marks(view, group)).collect();
    let unit = display_unit(Q::Pressure, view.units);
    let held = view.findings.controls.iter().find_map(|c| Some((c, c.actual_pa()?)));
    let limit =
        view.scenario.limits.on(Measure::SectionDrop).filter(|_| view.findings.boom.is_some());
    let most = limit.and_then(|limit| Some((limit.at_most?, &limit.source)));
    let floor = most.zip(held).map(|((most, source), (_, held_pa))| {
        let label = format!("{:.0} % below the gauge: {source}", 100.0 * most);
        (unit.from_si(held_pa * (1.0 - most)), label)
    });
    let title = format!("{}: pressure along the boom", view.scenario.title);
    let mut picture = Picture::new(150, title, below(view));
    let boom = AlongBoom::of(plumbing, &groups, view.units);
    let held_at = held.map(|(_, pa)| unit.from_si(pa));
    let y = pressures(&sections, held_at, floor.as_ref().map(|f| f.0), &unit);
    let mut frame = Frame::new(&mut picture, boom.x.clone(), y);
    boom.ground(&mut frame);
    if let Some((control, pa)) = held {
        let label = format!("{} at {}", view.show(pa, Q::Pressure), control.at);
        frame.level(unit.from_si(pa), GREEN, &label);
    }
    if let Some((y, label)) = &floor {
        frame.level(*y, VERMILION, label);
    }
    for section in &sections {
        let path: Vec<(f64, f64)> = section.tips.iter().map(|&(x, y, _)| (x, y)).collect();
        frame.line(&path, BLUE, 2);
        for &(x, y, runs) in &section.tips {
            frame.mark((x, y), Mark::Dot(5, if runs { filled(BLUE) } else { stroke(BLUE, 2) }));
        }
        section.feed.iter().for_each(|feed| frame.mark(*feed, FEED));
        section.far.iter().for_each(|far| frame.mark(*far, far_mark()));
    }
    frame.legend(&[
        ("tip", Mark::Dot(6, filled(BLUE))),
        ("section feed end", FEED),
        ("far end", far_mark()),
    ]);
    Some(picture)
}

const FEED: Mark = Mark::Triangle(ORANGE);

fn far_mark() -> Mark {
    Mark::Square(8, stroke(VERMILION, 3))
}

/// How even the pressure is.
fn below(view: &FinishedStep<'_>) -> String {
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
    format!("step \"{}\": {variation}{}", view.step.name, drop.unwrap_or_default())
}

fn pressures(
    sections: &[Marks],
    held: Option<f64>,
    floor: Option<f64>,
    unit: &DisplayUnit,
) -> Axis {
    let of_section =
        |s: &Marks| s.tips.iter().map(|tip| tip.1).chain(s.feed.map(|f| f.1)).collect::<Vec<_>>();
    let mut values: Vec<f64> = sections.iter().flat_map(of_section).chain(held).collect();
    // The limit is drawn where the data come near it.
    let near = |floor: &f64| {
        let (low, high) = extent(values.iter().copied()).unwrap_or((*floor, *floor));
        low - floor < 0.6 * (high - low)
    };
    values.extend(floor.filter(near));
    let title = format!("static pressure, {}", unit.symbol);
    Axis::around(title, values.into_iter(), (LEAST_RANGE, least_span(unit)))
}

fn marks(view: &FinishedStep<'_>, group: &TipGroup) -> Marks {
    let plumbing = view.plumbing();
    let length = display_unit(Q::Length, view.units);
    let pressure = display_unit(Q::Pressure, view.units);
    let point = |node: &NodeId| {
        let x = length.from_si(plumbing.node(*node).x_m?);
        Some((x, pressure.from_si(view.record.end.static_pressure_pa[node.index()])))
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
