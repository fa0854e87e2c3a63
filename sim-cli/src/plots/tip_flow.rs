//! Tip flow along the boom: off the table, and off the mean.

use super::View;
use super::along_boom::{AlongBoom, tip_groups};
use super::axes::{Axis, Drawn, Frame};
use super::render::picture;
use super::theme::{BLUE, INK, ORANGE, VERMILION};
use plotters::coord::Shift;
use plotters::drawing::DrawingArea;
use plotters::element::{Circle, Rectangle};
use plotters::prelude::DrawingBackend;
use plotters::style::Color as _;
use sim_core::findings::ControlFinding;
use sim_core::measures::Measure;
use sim_core::units::{Quantity as Q, display_unit, show};

/// Smallest deviation the axis reaches, percent.
const LEAST_PERCENT: f64 = 6.0;

/// What the picture shows.
pub(super) struct TipFlow {
    title: String,
    below: String,
    boom: AlongBoom,
    y: Axis,
    /// Position, percent off the table, percent off the mean.
    tips: Vec<(f64, f64, f64)>,
    bar: f64,
    limit: Option<(f64, String)>,
}

picture!(TipFlow);

impl TipFlow {
    pub(super) fn of(view: &View<'_>) -> Self {
        let length = display_unit(Q::Length, view.units);
        let plumbing = &view.scenario.machine.plumbing;
        let tips: Vec<(f64, f64, f64)> = view
            .findings
            .tips
            .iter()
            .filter_map(|tip| {
                let x = length.from_si(tip.x_m);
                Some((x, 100.0 * tip.from_nominal_share?, 100.0 * tip.from_mean_share?))
            })
            .collect();
        let limit = view.scenario.limits.on(Measure::TipFlowOffMean);
        let limit = limit.and_then(|limit| Some((100.0 * limit.at_most?, limit.source.clone())));
        let most = tips.iter().map(|tip| tip.1.abs().max(tip.2.abs())).fold(0.0, f64::max);
        let most = (1.15 * most).max(LEAST_PERCENT).max(limit.as_ref().map_or(0.0, |l| 1.2 * l.0));
        let boom = AlongBoom::of(plumbing, &tip_groups(plumbing), view.units);
        let variation = view.findings.boom.as_ref().map_or(0.0, |boom| boom.flow_variation_share);
        let reference =
            view.findings.controls.iter().find_map(ControlFinding::held_pa).map_or_else(
                || "the mean tip pressure".to_owned(),
                |pa| show(pa, Q::Pressure, view.units),
            );
        Self {
            title: format!("{}: flow of each tip", view.scenario.title),
            below: format!(
                "step \"{}\": coefficient of variation {:.2} %; table flow taken at {reference}",
                view.step.name,
                100.0 * variation
            ),
            bar: 0.35 * smallest_gap(&tips, boom.x.to - boom.x.from),
            boom,
            y: Axis { title: "deviation of flow, %".into(), from: -most, to: most },
            tips,
            limit,
        }
    }

    fn draw<DB: DrawingBackend>(&self, area: &DrawingArea<DB, Shift>) -> Drawn<DB> {
        let frame = Frame::new(area, &self.boom.x, &self.y);
        frame.title(&self.title, &self.below)?;
        self.boom.ground(&frame)?;
        frame.line(&[(self.boom.x.from, 0.0), (self.boom.x.to, 0.0)], INK, 2)?;
        for &(x, from_table, _) in &self.tips {
            let corners = [frame.at(x - self.bar, 0.0), frame.at(x + self.bar, from_table)];
            area.draw(&Rectangle::new(corners, ORANGE.filled()))?;
        }
        for &(x, _, from_mean) in &self.tips {
            area.draw(&Circle::new(frame.at(x, from_mean), 5, BLUE.filled()))?;
        }
        if let Some((percent, source)) = &self.limit {
            frame.level(*percent, VERMILION, &format!("+{percent:.0} % of the mean: {source}"))?;
            frame.level(-percent, VERMILION, &format!("\u{2212}{percent:.0} %"))?;
        }
        frame.legend(&[
            ("off the table", &|(x, y)| {
                area.draw(&Rectangle::new([(x - 9, y - 9), (x + 9, y + 9)], ORANGE.filled()))
            }),
            ("off the mean", &|at| area.draw(&Circle::new(at, 6, BLUE.filled()))),
        ])
    }
}

/// Smallest distance between neighbouring tips.
fn smallest_gap(tips: &[(f64, f64, f64)], whole: f64) -> f64 {
    let mut x: Vec<f64> = tips.iter().map(|tip| tip.0).collect();
    x.sort_by(f64::total_cmp);
    x.windows(2).map(|w| w[1] - w[0]).filter(|gap| *gap > 1e-6).fold(whole / 10.0, f64::min)
}
