//! What is left where when the air has blown?

use super::picture::{Picture, Pixel, SIZE};
use super::plan::{Look, Looks, Plan, draw_line};
use super::shortened::shortened;
use super::theme::{
    FAINT, HPos, LIQUID, ORANGE, RGBColor, VERMILION, VPos, WALL_FILM, WHITE, anchored, bold,
    filled, level, stroke,
};
use super::timeline::{Run, show_time};
use page_model::drawing::names::width_of;
use page_model::drawing::sheet::{Canvas, placed};
use page_model::drawing::strokes::{clear_of_each_other, points_along};
use sim_core::plumbing::{Branch, NodeId, Plumbing, Side};
use sim_core::simulation::AirRecord;
use sim_core::transport::LineLeft;
use sim_core::units::{Quantity as Q, UnitSystem, show, show_number};

/// Where the plumbing is drawn, px: left, top, right, bottom.
const CANVAS: Canvas = (60.0, 118.0, 1540.0, 655.0);
/// Width of a line that is hardly wet and of one that is full, px.
const WIDTHS: (f64, f64) = (3.0, 13.0);
/// Share of a line's volume below which it is drawn empty.
const LEAST_SHARE: f64 = 1e-3;
/// Places told of, and how many stand below each other.
const MOST_PLACES: usize = 10;
const BELOW_EACH_OTHER: usize = 5;
/// Volume below which a place is not reported of, m3.
const LEAST_M3: f64 = 5e-6;
/// Where the words below the plumbing stand, px: left ends, top, height of a line.
const CAUSES_AT: i32 = 60;
const PLACES_AT: [i32; 2] = [640, 1110];
const WORDS_TOP: i32 = 704;
const WORDS_HEIGHT: i32 = 35;
/// Where their last row stands.
const FOOT: i32 = WORDS_TOP + WORDS_HEIGHT * BELOW_EACH_OTHER as i32 - 6;
/// Width of a column of places, px.
const PLACE_WIDTH: i32 = 430;
/// Letters of a place's words, and of its name at least.
const MOST_LETTERS: usize = 32;
const LEAST_LETTERS: usize = 17;
/// Size of the names of tanks, px.
const TANK: f64 = 24.0;
/// Radius of a number's circle and least distance between two, px.
const RADIUS: i32 = 14;
const APART: i32 = 32;

/// Share of a place's liquid from which a cause beside the largest is reported of.
const LEAST_BESIDE: f64 = 0.2;

/// Why liquid stays: the words, the colour, how much of it a line holds, and the words in short.
type Cause = (&'static str, RGBColor, fn(&LineLeft) -> f64, &'static str);
const CAUSES: [Cause; 4] = [
    ("full across: stranded, or no air came there", LIQUID, |left| left.column_m3, "full"),
    ("wall film, behind the front of the air", WALL_FILM, |left| left.layer_m3, "wall"),
    ("in low places", VERMILION, |left| left.pool_m3, "low place"),
    ("in dead legs", ORANGE, |left| left.stub_m3, "dead leg"),
];

/// Lines that a remainder is reported of together.
struct ResidualPlace {
    name: String,
    lines: Vec<usize>,
    m3: f64,
    /// What holds most of it.
    cause: usize,
    /// What else holds much of it, and how much, m3.
    beside: Option<(usize, f64)>,
}

impl ResidualPlace {
    /// Its name, and what else holds much of its liquid.
    fn words(&self, units: UnitSystem) -> String {
        let Some((cause, m3)) = self.beside else { return shortened(&self.name, MOST_LETTERS) };
        let beside = format!(" ({} {})", CAUSES[cause].3, show_number(m3, Q::Volume, units));
        let room = MOST_LETTERS.saturating_sub(beside.chars().count()).max(LEAST_LETTERS);
        format!("{}{beside}", shortened(&self.name, room))
    }
}

/// The map at the end of the last purge of `run`.
pub(super) fn residual_map(run: &Run<'_>) -> Option<Picture> {
    let plumbing = &run.scenario.machine.plumbing;
    let plan = Plan::of(&run.scenario.machine);
    let blows = |i: &usize| run.scenario.course.steps[*i].purge.is_some();
    let step = run.shown().rfind(blows)?;
    let air = run.moved(step)?.air.as_ref()?;
    let volume = |m3: f64| show(m3, Q::Volume, run.units);
    // No air is blown into the suction side: findings do not count it either.
    let uncounted = plumbing.suction_lines();
    let of_side = |suction: bool| {
        let lines = air.left.iter().zip(&uncounted);
        lines.filter(move |(_, side)| **side == suction).map(|(left, _)| left)
    };
    let whole = |of: fn(&LineLeft) -> f64| of_side(false).map(of).sum::<f64>();
    let title = format!("{}: residual after the purge", run.scenario.title);
    let mut picture = Picture::new(60, title, below(run, step, whole(LineLeft::liquid_m3)));
    let inlet = run.scenario.course.steps[step].purge.map(|purge| purge.node);
    plan.draw(&mut picture, CANVAS, &looks(plumbing, &plan, air, &uncounted, inlet));
    tank_names(&mut picture, plumbing, &plan);
    let mut places = places(plumbing, &air.left, &uncounted);
    let rest = places.split_off(places.len().min(MOST_PLACES));
    for (k, (at, place)) in numbered(&plan, &places).into_iter().zip(&places).enumerate() {
        number(&mut picture, at, k, CAUSES[place.cause].1);
    }
    let suction_m3: f64 = of_side(true).map(LineLeft::liquid_m3).sum();
    let suction = (suction_m3 > LEAST_M3).then(|| volume(suction_m3));
    causes(&mut picture, CAUSES.map(|cause| volume(whole(cause.2))), suction);
    for (k, place) in places.iter().enumerate() {
        let left = PLACES_AT[k / BELOW_EACH_OTHER];
        let y = WORDS_TOP + WORDS_HEIGHT * (k % BELOW_EACH_OTHER) as i32;
        number(&mut picture, (left, y), k, CAUSES[place.cause].1);
        picture.words((left + 26, y), place.words(run.units), level(21, HPos::Left));
        picture.words((left + PLACE_WIDTH, y), volume(place.m3), level(21, HPos::Right));
    }
    let rest_m3: f64 = rest.iter().map(|place| place.m3).sum();
    if rest_m3 > 0.0 {
        let words = format!("{} in {} other places", volume(rest_m3), rest.len());
        picture.words((PLACES_AT[1] + PLACE_WIDTH, FOOT), words, level(21, HPos::Right));
    }
    Some(picture)
}

/// The names of the tanks that have room for them.
fn tank_names(picture: &mut Picture, plumbing: &Plumbing, plan: &Plan) {
    for of in &plan.sheet.tanks {
        let [(left, top), (right, bottom)] = of.on(CANVAS);
        let name = &plumbing.tank(of.tank).name;
        if width_of(name, TANK) <= f64::from(right - left) {
            let middle = ((left + right) / 2, (top + bottom) / 2);
            picture.words(middle, name, level(TANK as u32, HPos::Center));
        }
    }
}

/// What the colours mean, how much is left by each cause, and how much on the suction side.
fn causes(picture: &mut Picture, volumes: [String; CAUSES.len()], suction: Option<String>) {
    let mut row = |y: i32, name: &str, look: Look, volume: String| {
        draw_line(picture, &[(CAUSES_AT, y), (CAUSES_AT + 36, y)], look, 2);
        picture.words((CAUSES_AT + 50, y), name, level(21, HPos::Left));
        picture.words((PLACES_AT[0] - 40, y), volume, level(21, HPos::Right));
    };
    let wide = |colour: RGBColor| Look::Wide(colour, WIDTHS.1 as u32);
    let mut y = WORDS_TOP;
    for ((name, colour, _, _), volume) in CAUSES.into_iter().zip(volumes) {
        row(y, name, wide(colour), volume);
        y += WORDS_HEIGHT;
    }
    row(y, "empty", Look::Air, String::new());
    if let Some(suction) = suction {
        row(FOOT, "on the suction side, not counted", wide(FAINT), suction);
    }
}

/// Number `k` + 1 in a circle.
fn number(picture: &mut Picture, at: Pixel, k: usize, colour: RGBColor) {
    picture.circle(at, RADIUS, filled(WHITE));
    picture.circle(at, RADIUS, stroke(colour, 3));
    let style = anchored(bold(18), HPos::Center, VPos::Center);
    picture.words((at.0, at.1 + 2), (k + 1).to_string(), style);
}

/// How the purge went, in a sentence.
fn below(run: &Run<'_>, step: usize, left_m3: f64) -> String {
    let name = shortened(&run.scenario.course.steps[step].name, 40);
    format!(
        "{} at {} of the run, the end of step \"{name}\"; width of a line: its share still liquid, colour: what holds most of it",
        show(left_m3, Q::Volume, run.units),
        show_time(run.record.steps[step].end_s)
    )
}

/// What `lines` hold by each cause, the largest first, m3.
fn held<'l>(lines: impl Iterator<Item = &'l LineLeft>) -> [(usize, f64); CAUSES.len()] {
    let mut by_cause = [0, 1, 2, 3].map(|cause| (cause, 0.0));
    for left in lines {
        by_cause.iter_mut().for_each(|(cause, sum)| *sum += CAUSES[*cause].2(left));
    }
    by_cause.sort_by(|a, b| b.1.total_cmp(&a.1));
    by_cause
}

fn looks(
    plumbing: &Plumbing,
    plan: &Plan,
    air: &AirRecord,
    uncounted: &[bool],
    inlet: Option<NodeId>,
) -> Looks {
    let look = |(i, left): (usize, &LineLeft)| {
        let Some(line) = plumbing.branches[i].part.line() else { return Look::Unseen };
        let cause = held([left].into_iter())[0].0;
        let share = (left.liquid_m3() / line.volume_m3()).min(1.0);
        if share < LEAST_SHARE {
            return Look::Air;
        }
        // Odd widths lie evenly on their lines.
        let steps = (0.5 * (WIDTHS.1 - WIDTHS.0) * share).round();
        let colour = if uncounted[i] { FAINT } else { CAUSES[cause].1 };
        Look::Wide(colour, (WIDTHS.0 + 2.0 * steps) as u32)
    };
    Looks {
        lines: air.left.iter().enumerate().map(look).collect(),
        bars: vec![Look::Unseen; plan.sheet.bars.len()],
        tanks: vec![None; plan.sheet.tanks.len()],
        air: inlet,
    }
}

/// Where liquid is left, the largest remainder first: the tubes of a section together, else line by line. Lines that are
/// `uncounted` are no places.
fn places(plumbing: &Plumbing, left: &[LineLeft], uncounted: &[bool]) -> Vec<ResidualPlace> {
    let mut places: Vec<ResidualPlace> = Vec::new();
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if branch.part.line().is_none() || uncounted[i] {
            continue;
        }
        let name = place_name(plumbing, branch, left[i].stub_m3 > 0.0);
        match places.iter_mut().find(|place| place.name == name) {
            Some(place) => place.lines.push(i),
            None => {
                places.push(ResidualPlace { name, lines: vec![i], m3: 0.0, cause: 0, beside: None })
            }
        }
    }
    for place in &mut places {
        let by_cause = held(place.lines.iter().map(|i| &left[*i]));
        place.m3 = by_cause.iter().map(|(_, m3)| m3).sum();
        place.cause = by_cause[0].0;
        place.beside = Some(by_cause[1]).filter(|(_, m3)| *m3 > LEAST_BESIDE * place.m3);
    }
    places.retain(|place| place.m3 > LEAST_M3);
    places.sort_by(|a, b| b.m3.total_cmp(&a.m3));
    places
}

/// What the place of `branch` is called.
fn place_name(plumbing: &Plumbing, branch: &Branch, is_dead_leg: bool) -> String {
    let plain = branch.name.replace('-', " ");
    let Some(section) = branch.section else { return plain };
    let section = &plumbing.sections[section.index()].name;
    let own = plain.strip_prefix(&section.replace('-', " ")).map(str::trim);
    match own {
        _ if branch.side == Side::Boom && !is_dead_leg => format!("section {section}: tubes"),
        Some(own) => format!("section {section}: {own}"),
        None => plain,
    }
}

/// Where the numbers of `places` stand: on their lines, clear of each other where that can be.
fn numbered(plan: &Plan, places: &[ResidualPlace]) -> Vec<Pixel> {
    let points = |place: &ResidualPlace| {
        let pixels =
            |i: &usize| plan.sheet.paths[*i].iter().map(|at| placed(*at, CANVAS)).collect();
        let paths = place.lines.iter().map(pixels);
        paths.flat_map(|path: Vec<Pixel>| points_along(&path)).collect()
    };
    let candidates: Vec<Vec<Pixel>> = places.iter().map(points).collect();
    clear_of_each_other(&candidates, APART)
}

/// The words stand within the picture.
const _: () = assert!(WORDS_TOP + WORDS_HEIGHT * BELOW_EACH_OTHER as i32 <= SIZE.1);
