//! Where along the boom is sprayed below full strength, and how much?

use super::along_boom::{AlongBoom, lies_along, tip_groups};
use super::axes::{Axis, Frame, least_span};
use super::picture::Picture;
use super::theme::{VERMILION, filled};
use crate::results::FinishedStep;
use sim_core::findings::TipPriming;
use sim_core::units::{Quantity as Q, display_unit};

/// A bar for each tip; a step that sprays at full strength from its start has no picture.
pub(super) fn under_dosed(view: &FinishedStep<'_>) -> Option<Picture> {
    let priming = view.findings.priming.as_ref().filter(|found| found.under_dosed_m3 > 0.0)?;
    if !lies_along(view.plumbing()) {
        return None;
    }
    let (length, volume) =
        (display_unit(Q::Length, view.units), display_unit(Q::Volume, view.units));
    let tips = view.plumbing().tips.iter().zip(&priming.tips);
    let bars =
        tips.map(|(tip, found)| (length.from_si(tip.x_m), volume.from_si(found.under_dosed_m3)));
    let bars: Vec<(f64, f64)> = bars.collect();
    let most = TipPriming::most_under_dosed(priming.tips.iter())?;
    let below = format!(
        "step \"{}\": {} sprayed below full strength, most at tip {}: {}",
        view.step.name,
        view.show(priming.under_dosed_m3, Q::Volume),
        most.tip,
        view.show(most.under_dosed_m3, Q::Volume)
    );
    let title = format!("{}: under-dosed along the boom", view.scenario.title);
    let mut picture = Picture::new(150, title, below);
    let boom = AlongBoom::of(view.plumbing(), &tip_groups(view.plumbing()), view.units);
    let half = boom.half_bar(bars.iter().map(|bar| bar.0));
    let y = Axis {
        title: format!("below full strength, {} a tip", volume.symbol),
        from: 0.0,
        to: (1.08 * bars.iter().map(|bar| bar.1).fold(0.0, f64::max)).max(least_span(&volume)),
    };
    let mut frame = Frame::new(&mut picture, boom.x.clone(), y);
    boom.ground(&mut frame);
    for (x, amount) in bars {
        let corners = [frame.at(x - half, 0.0), frame.at(x + half, amount)];
        frame.picture.rectangle(corners, filled(VERMILION));
    }
    Some(picture)
}
