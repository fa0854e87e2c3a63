//! What a search found: each aim against the first, every layout that keeps the limits, those put forward with their numbers.

use super::axes::{Axis, Frame};
use super::picture::{Mark, Picture};
use super::theme::{BLUE, FAINT, HPos, INK, VERMILION, filled, level, stroke};
use crate::results::Searched;
use sim_core::scenario::Aim;
use sim_core::units::display_unit;

/// The picture of `of` with aim number `across` and aim number `up`; nothing where no layout keeps the limits.
pub(super) fn front(of: &Searched<'_>, across: usize, up: usize) -> Option<Picture> {
    let aims = &of.study.goals.aims;
    let point = |index: usize| {
        let layout = &of.found.judged[index].1;
        Some((
            value(of, aims[across], layout.aim(aims[across])?),
            value(of, aims[up], layout.aim(aims[up])?),
        ))
    };
    let kept = |index: &usize| of.found.judged[*index].1.violation <= 0.0;
    let all: Vec<(f64, f64)> = (0..of.found.judged.len()).filter(kept).filter_map(point).collect();
    if all.is_empty() {
        return None;
    }
    let base = of.base_index.and_then(point);
    let ends = |pick: fn(&(f64, f64)) -> f64| {
        let values = || all.iter().chain(&base).map(pick);
        let (low, high) =
            (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
        let room = 0.07 * (high - low).max(1e-3 * high.abs()).max(1e-9);
        (low - room, high + room)
    };
    let ((left, right), (low, high)) = (ends(|p| p.0), ends(|p| p.1));
    let x = Axis { title: title(of, aims[across]), from: left, to: right };
    let y = Axis { title: title(of, aims[up]), from: low, to: high };
    let below = "grey: layouts that keep every limit; blue: those that no other beats; numbers: files layout-NN.toml";
    let mut picture = Picture::new(150, format!("{}: what was found", of.study.title), below);
    let mut frame = Frame::new(&mut picture, x, y);
    frame.axes();
    let (other, best) = (Mark::Dot(5, filled(FAINT)), Mark::Dot(8, filled(BLUE)));
    let (as_is, named) = (Mark::Square(9, stroke(VERMILION, 3)), Mark::Dot(12, stroke(INK, 3)));
    all.iter().for_each(|point| frame.mark(*point, other));
    of.found
        .front
        .iter()
        .filter_map(|index| point(*index))
        .for_each(|point| frame.mark(point, best));
    let mut entries =
        vec![("keeps every limit", other), ("beaten by none", best), ("named", named)];
    if let Some(base) = base {
        frame.mark(base, as_is);
        entries.push(("the base", as_is));
    }
    for (place, one) in of.found.named.iter().enumerate() {
        if let Some(at) = point(one.index).filter(|_| one.has_a_name()) {
            frame.mark(at, named);
            let (px, py) = frame.at(at.0, at.1);
            frame.picture.words((px + 16, py - 18), (place + 1).to_string(), level(28, HPos::Left));
        }
    }
    frame.legend(&entries);
    Some(picture)
}

/// A value of `aim` in the unit shown.
fn value(of: &Searched<'_>, aim: Aim, si: f64) -> f64 {
    match aim {
        Aim::Cost => si,
        Aim::Measure(measure) => display_unit(measure.quantity(), of.units).from_si(si),
    }
}

fn title(of: &Searched<'_>, aim: Aim) -> String {
    match aim {
        Aim::Cost if of.study.goals.currency.is_empty() => "cost".into(),
        Aim::Cost => format!("cost, {}", of.study.goals.currency),
        Aim::Measure(measure) => {
            format!("{}, {}", measure.words(), display_unit(measure.quantity(), of.units).symbol)
        }
    }
}
