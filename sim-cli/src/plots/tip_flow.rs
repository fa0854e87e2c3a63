//! Tip flow along the boom: off the table, and off the mean.

use super::along_boom::{AlongBoom, lies_along, tip_groups};
use super::axes::{Axis, Frame};
use super::picture::{Mark, Picture};
use super::theme::{BLUE, INK, ORANGE, VERMILION, filled};
use crate::results::FinishedStep;
use sim_core::findings::ControlFinding;
use sim_core::measures::Measure;
use sim_core::units::{Quantity as Q, display_unit};

/// Smallest deviation the axis reaches, percent.
const LEAST_PERCENT: f64 = 6.0;

/// The picture; a step without tips that run has none, nor one whose tips are at no places along a boom.
pub(super) fn tip_flow(view: &FinishedStep<'_>) -> Option<Picture> {
    let spraying = view.findings.boom.as_ref().filter(|_| lies_along(view.plumbing()))?;
    let length = display_unit(Q::Length, view.units);
    let plumbing = view.plumbing();
    // Position, percent off the table, percent off the mean.
    let tips = view.findings.tips.iter().filter_map(|tip| {
        let x = length.from_si(tip.x_m);
        Some((x, 100.0 * tip.from_nominal_share?, 100.0 * tip.from_mean_share?))
    });
    let tips: Vec<(f64, f64, f64)> = tips.collect();
    let limit = view.scenario.limits.on(Measure::TipFlowOffMean);
    let limit = limit.and_then(|limit| Some((100.0 * limit.at_most?, &limit.source)));
    let most = tips.iter().map(|tip| tip.1.abs().max(tip.2.abs())).fold(0.0, f64::max);
    let most = (1.15 * most).max(LEAST_PERCENT).max(limit.map_or(0.0, |l| 1.2 * l.0));
    let boom = AlongBoom::of(plumbing, &tip_groups(plumbing), view.units);
    let reference = view
        .findings
        .controls
        .iter()
        .find_map(ControlFinding::held_pa)
        .map_or_else(|| "the mean tip pressure".to_owned(), |pa| view.show(pa, Q::Pressure));
    let title = format!("{}: flow of each tip", view.scenario.title);
    let below = format!(
        "step \"{}\": coefficient of variation {:.2} %; table flow taken at {reference}",
        view.step.name,
        100.0 * spraying.flow_variation_share
    );
    let mut picture = Picture::new(150, title, below);
    let y = Axis { title: "deviation of flow, %".into(), from: -most, to: most };
    let mut frame = Frame::new(&mut picture, boom.x.clone(), y);
    boom.ground(&mut frame);
    frame.line(&[(boom.x.from, 0.0), (boom.x.to, 0.0)], INK, 2);
    let bar = boom.half_bar(tips.iter().map(|tip| tip.0));
    for &(x, from_table, _) in &tips {
        let corners = [frame.at(x - bar, 0.0), frame.at(x + bar, from_table)];
        frame.picture.rectangle(corners, filled(ORANGE));
    }
    for &(x, _, from_mean) in &tips {
        frame.mark((x, from_mean), Mark::Dot(5, filled(BLUE)));
    }
    if let Some((percent, source)) = limit {
        frame.level(percent, VERMILION, &format!("+{percent:.0} % of the mean: {source}"));
        frame.level(-percent, VERMILION, &format!("\u{2212}{percent:.0} %"));
    }
    frame.legend(&[
        ("off the table", Mark::Square(9, filled(ORANGE))),
        ("off the mean", Mark::Dot(6, filled(BLUE))),
    ]);
    Some(picture)
}
