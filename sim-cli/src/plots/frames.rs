//! The plumbing at a few moments, one frame each.

use super::concentration_bar::concentration_bar;
use super::line_contents::looks_at;
use super::picture::{Picture, Pixel, SIZE};
use super::plan::{Look, Looks, Plan, draw_line};
use super::shortened::shortened;
use super::theme::{
    FAINT, GRID, HPos, LIQUID, RGBColor, VPos, WALL_FILM, anchored, level, stroke, text,
};
use super::timeline::{Run, show_time};
use sim_core::simulation::Sample;
use sim_core::transport::LinePhases;

/// Frames, and how many are side by side.
pub(super) const MOST_FRAMES: usize = 6;
const ACROSS: usize = 2;
/// Where the frames stand, px: left, top, width and height of each.
const FRAMES: (f64, f64, f64, f64) = (40.0, 112.0, 760.0, 242.0);
/// Room in a frame for its title, and to the next frame, px.
const TITLE: f64 = 36.0;
const GAP: f64 = 22.0;

/// The plumbing drawn by `plan` at those of the `samples` of `run` numbered `places`, at most [`MOST_FRAMES`]; each
/// moment's title has its step's name, cut to `letters`, and ends with what `also` says of it.
pub(super) fn frames(
    run: &Run<'_>,
    plan: &Plan,
    (title, below): (String, &str),
    (samples, places): (&[(usize, &Sample)], &[usize]),
    letters: usize,
    also: impl Fn(usize) -> String,
) -> Picture {
    let mut picture = Picture::new(60, title, below);
    let looks = looks_at(run, plan, places);
    for (k, (&place, looks)) in places.iter().zip(&looks).enumerate() {
        let (column, row) = ((k % ACROSS) as f64, (k / ACROSS) as f64);
        let at = (FRAMES.0 + FRAMES.2 * column, FRAMES.1 + FRAMES.3 * row);
        let (step, sample) = samples[place];
        let name = shortened(&run.scenario.course.steps[step].name, letters);
        let title = format!("{}, step \"{name}\"{}", show_time(sample.time_s), also(place));
        draw_frame(&mut picture, at, title, plan, looks);
    }
    let foot = SIZE.1 - 30;
    if !run.concentrations_change() {
        air_key(&mut picture, (60, foot), (LIQUID, WALL_FILM));
        return picture;
    }
    concentration_bar(&mut picture, (240, foot));
    let holds_air = |look: &Look| matches!(look, Look::Air | Look::Part { .. });
    if looks.iter().any(|looks| looks.lines.iter().any(holds_air)) {
        air_key(&mut picture, (860, foot), (FAINT, FAINT));
    }
    picture
}

fn draw_frame(
    picture: &mut Picture,
    (left, top): (f64, f64),
    title: String,
    plan: &Plan,
    looks: &Looks,
) {
    let (right, bottom) = (left + FRAMES.2 - GAP, top + FRAMES.3 - GAP);
    let corners = [(left as i32, top as i32), (right as i32, bottom as i32 + 10)];
    picture.rectangle(corners, stroke(GRID, 1));
    let style = anchored(text(22), HPos::Left, VPos::Top);
    picture.words((left as i32 + 12, top as i32 + 8), title, style);
    let height = (bottom - top - TITLE) * plan.taller;
    plan.draw(picture, (left + 10.0, bottom - height, right - 10.0, bottom), looks);
}

/// What liquid, liquid on a wall and air look like, from `left` on; `liquid` and `wall` are the colours of the former.
fn air_key(picture: &mut Picture, (left, y): Pixel, (liquid, wall): (RGBColor, RGBColor)) {
    let film = LinePhases { column: None, film: [1.0; 2], pool: None };
    let looks = [
        (Look::Full(liquid), "liquid"),
        (Look::Part { phases: film, colour: liquid, film: wall }, "on the wall"),
        (Look::Air, "air"),
    ];
    for (k, (look, words)) in looks.into_iter().enumerate() {
        let from = left + 230 * k as i32;
        draw_line(picture, &[(from, y), (from + 54, y)], look, 5);
        picture.words((from + 66, y), words, level(22, HPos::Left));
    }
}
