//! How does concentration rise and fall at the tips that are reached first and last?

use super::axes::{Axis, Frame};
use super::curves::{Curve, curves, ground};
use super::line_contents::{AtTip, at_tips};
use super::picture::Picture;
use super::shortened::shortened;
use super::step_spans::MOST_LETTERS;
use super::theme::{CURVES, FAINT, INK};
use super::timeline::Run;
use sim_core::simulation::{MovedRecord, Record};

/// Most tanks shown.
const MOST_TANKS: usize = 3;
/// Least change of a tank's concentration that is worth a curve, percent.
const LEAST_CHANGE: f64 = 0.5;

/// The curves, where there are tips to draw them of and concentrations to tell apart; a tip that stands in
/// air has none.
pub(super) fn concentration_over_time(run: &Run<'_>) -> Option<Picture> {
    let plumbing = &run.scenario.machine.plumbing;
    if plumbing.tips.is_empty() || !run.concentrations_change() {
        return None;
    }
    let held = at_tips(run);
    let (tips, filled) = telling_tips(run.record, plumbing.tips.len());
    let tip = |(&tip, colour): (&usize, _)| {
        let points = run.numbered_curve(|k, sample| {
            let in_air = held[k].get(tip).is_some_and(|held| *held != AtTip::Liquid);
            if in_air { f64::NAN } else { 100.0 * f64::from(sample.tips[tip]) }
        });
        Curve::full(&format!("tip {}", plumbing.tips[tip].name), points, colour)
    };
    let tank = |(i, tank): (usize, &sim_core::plumbing::Tank)| {
        let points = run.curve(|sample| 100.0 * f64::from(sample.tanks[i]));
        let colour = if i == 0 { INK } else { CURVES[(2 + i) % CURVES.len()] };
        let is_tank = tank.name.contains("tank");
        let name = if is_tank { tank.name.clone() } else { format!("tank {}", tank.name) };
        Curve::dashed(&name, points, colour)
    };
    let mut shown: Vec<Curve> = tips.iter().zip(CURVES).map(tip).collect();
    let tanks = plumbing.tanks.iter().enumerate().map(tank);
    shown.extend(tanks.filter(|tank| tank.moves_by(LEAST_CHANGE)).take(MOST_TANKS));
    let x = run.axis();
    let (full, words) = full_level(run);
    shown.push(Curve::dashed(&words, vec![(x.from, full), (x.to, full)], FAINT));
    let title = format!("{}: concentration over time", run.scenario.title);
    let mut picture = Picture::new(150, title, words_for(run, filled));
    let y = Axis { title: "concentration, %".into(), from: -3.0, to: 106.0 };
    let mut frame = Frame::new(&mut picture, x, y);
    ground(&mut frame, &run.steps(), true);
    curves(&mut frame, &shown);
    Some(picture)
}

/// From what concentration on a tip counts as full, percent, and the words for it.
fn full_level(run: &Run<'_>) -> (f64, String) {
    let full_from = run.scenario.course.start.full_from;
    let fed = moved(run.record).map(|moved| moved.fed_concentration).fold(0.0, f64::max);
    if fed > 0.0 && fed < 1.0 {
        let words = format!("full strength: {:.0} % of the tank's", 100.0 * full_from);
        return (100.0 * full_from * fed, words);
    }
    (100.0 * full_from, format!("full strength {:.0} %", 100.0 * full_from))
}

/// How the tips were chosen.
fn words_for(run: &Run<'_>, filled: Option<(usize, bool)>) -> String {
    let Some((step, all)) = filled else {
        return "the first, the middle and the last tip of the boom".to_owned();
    };
    let name = shortened(&run.scenario.course.steps[step].name, MOST_LETTERS);
    let rest = if all { "" } else { "; the last not while it lasts" };
    format!("the tips that come full first, midmost and last in step \"{name}\"{rest}")
}

/// Tips that come full first, midmost and last in the first step in which any does, which step that is,
/// and whether all do; if there is none, the first, the middle and the last tip.
fn telling_tips(record: &Record, count: usize) -> (Vec<usize>, Option<(usize, bool)>) {
    let mut order: Vec<usize> = (0..count).collect();
    let reached = |moved: &MovedRecord| moved.arrivals.iter().any(|a| a.full_s > Some(0.0));
    let moved = record.steps.iter().enumerate().filter_map(|(i, s)| Some((i, s.moved.as_ref()?)));
    let step = moved.into_iter().find(|(_, moved)| reached(moved));
    if let Some((_, moved)) = step {
        let full = |tip: usize| moved.arrivals[tip].full_s.unwrap_or(f64::INFINITY);
        let left = |tip: usize| -moved.tip_concentration[tip];
        order.sort_by(|&a, &b| full(a).total_cmp(&full(b)).then(left(a).total_cmp(&left(b))));
    }
    let places = [0, count / 2, count.saturating_sub(1)];
    let mut tips: Vec<usize> = places.iter().filter_map(|k| order.get(*k)).copied().collect();
    tips.dedup();
    let all = |moved: &MovedRecord| moved.arrivals.iter().all(|a| a.full_s.is_some());
    (tips, step.map(|(i, moved)| (i, all(moved))))
}

fn moved(record: &Record) -> impl Iterator<Item = &MovedRecord> {
    record.steps.iter().filter_map(|step| step.moved.as_ref())
}
