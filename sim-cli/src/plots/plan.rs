//! The plumbing drawn plainly: lines as they look, parts, tanks, tips.

use super::picture::{Picture, Pixel};
use super::theme::{FAINT, HPos, INK, RGBColor, VPos, WHITE, anchored, filled, stroke, text};
use page_model::drawing::sheet::{Canvas, Path, Sheet, placed, share_of_height};
use page_model::drawing::sheet_of;
use page_model::drawing::strokes::{arrow_head, direction, midpoint};
use sim_core::plumbing::{Machine, NodeId};
use sim_core::transport::LinePhases;

/// Height on the sheet that a canvas shows beyond the highest line.
const ABOVE: f64 = 9.0;
/// Width of the bars that lines meet in, px.
const BAR: u32 = 6;
/// Width, dash and gap of a line that is empty, px.
const EMPTY: (u32, u32, u32) = (2, 5, 4);

/// Width of liquid on the wall of a line, px, and the share of the bore, or of the line, from which any is drawn.
const FILM: u32 = 2;
const WET_FROM: f32 = 2e-3;
/// Half of the share of a line that what has gathered in a low spot takes at least on a drawing.
const POOL_SEEN: f32 = 0.01;

/// How a line looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Look {
    /// Nothing is reported of it.
    Unseen,
    /// Full of liquid of this colour.
    Full(RGBColor),
    /// The same, of a width of its own, px.
    Wide(RGBColor, u32),
    /// Air alone.
    Air,
    /// Air and liquid of this colour, where each is; liquid on the wall has a colour of its own.
    Part { phases: LinePhases, colour: RGBColor, film: RGBColor },
}

/// The plumbing as drawn.
pub(super) struct Plan {
    pub(super) sheet: Sheet,
    /// Branches that are parts, by their place among the paths.
    parts: Vec<usize>,
    width: u32,
    /// How much taller the sheet would be drawn, were it to fill a canvas to its very top.
    pub(super) taller: f64,
}

/// How everything on a plan looks.
pub(super) struct Looks {
    pub(super) lines: Vec<Look>,
    pub(super) bars: Vec<Look>,
    /// Colours of the tanks of the sheet.
    pub(super) tanks: Vec<Option<RGBColor>>,
    /// Where air is blown in.
    pub(super) air: Option<NodeId>,
}

impl Plan {
    /// The plan of `machine`.
    pub(super) fn of(machine: &Machine) -> Self {
        let (plumbing, sheet) = (&machine.plumbing, sheet_of(machine));
        let is_part = |i: &usize| plumbing.branches[*i].part.line().is_none();
        Self {
            parts: (0..plumbing.branches.len()).filter(is_part).collect(),
            taller: 1.0 / share_of_height(sheet.highest() + ABOVE).min(1.0),
            width: line_width(plumbing.sections.len()),
            sheet,
        }
    }

    /// Everything on `canvas`.
    pub(super) fn draw(&self, picture: &mut Picture, canvas: Canvas, looks: &Looks) {
        let pixels = |path: &Path| path.iter().map(|at| placed(*at, canvas)).collect::<Vec<_>>();
        for &i in &self.parts {
            picture.line(pixels(&self.sheet.paths[i]), FAINT, 2);
        }
        for (tank, colour) in self.sheet.tanks.iter().zip(&looks.tanks) {
            picture.rectangle(tank.on(canvas), filled(colour.unwrap_or(WHITE)));
            picture.rectangle(tank.on(canvas), stroke(INK, 2));
        }
        for (path, look) in self.runs(&looks.lines) {
            draw_line(picture, &pixels(&path), look, self.width);
        }
        for ((_, path), look) in self.sheet.bars.iter().zip(&looks.bars) {
            let look = if *look == Look::Unseen { Look::Full(FAINT) } else { *look };
            draw_line(picture, &pixels(path), look, BAR);
        }
        self.marks(picture, canvas);
        let blown = self.sheet.air.iter().find(|(node, _)| Some(*node) == looks.air);
        blown.iter().for_each(|(_, path)| air_arrow(picture, &pixels(path), 16, true));
    }

    /// The paths and how they look; empty ones that follow each other make one, so that dashes run on.
    fn runs(&self, looks: &[Look]) -> Vec<(Path, Look)> {
        let mut runs: Vec<(Path, Look)> = Vec::new();
        for (path, &look) in self.sheet.paths.iter().zip(looks) {
            let last = runs.last_mut().filter(|last| look == Look::Air && last.1 == look);
            if !last.is_some_and(|(so_far, _)| joined(so_far, path)) {
                runs.push((path.clone(), look));
            }
        }
        runs
    }

    /// Parts in the middle of their paths, and tips on their tubes.
    fn marks(&self, picture: &mut Picture, canvas: Canvas) {
        for &i in &self.parts {
            let path: Vec<Pixel> =
                self.sheet.paths[i].iter().map(|at| placed(*at, canvas)).collect();
            picture.circle(midpoint(&path), 3, filled(FAINT));
        }
        for &tip in &self.sheet.tips {
            let (x, y) = placed(tip, canvas);
            picture.line([(x, y - 9), (x, y - 4)], INK, 1);
        }
    }
}

/// An arrow along `path` and the word at its tail, or beside it.
pub(super) fn air_arrow(picture: &mut Picture, path: &[Pixel], size: u32, beside: bool) {
    let (tail, head) = (path[0], path[path.len() - 1]);
    let (_, towards) = direction(tail, head);
    picture.line([tail, head], INK, 2);
    let back = |along: i32, towards: f64| along - (8.0 * towards).round() as i32;
    let at = (back(head.0, towards.0), back(head.1, towards.1));
    picture.area(arrow_head(at, towards, 14), INK);
    let (at, across, up) = if tail.1 == head.1 {
        ((tail.0 - 6, tail.1), HPos::Right, VPos::Center)
    } else if beside {
        ((tail.0 + 12, (tail.1 + head.1) / 2 - 2), HPos::Left, VPos::Center)
    } else {
        ((tail.0, tail.1 - 4), HPos::Center, VPos::Bottom)
    };
    picture.words(at, "air", anchored(text(size), across, up));
}

/// A line along `path` as it looks.
pub(super) fn draw_line(picture: &mut Picture, path: &[Pixel], look: Look, width: u32) {
    match look {
        Look::Unseen => {}
        Look::Full(colour) => picture.line(path, colour, width),
        Look::Wide(colour, width) => picture.line(path, colour, width),
        Look::Air => draw_empty(picture, path),
        Look::Part { phases, colour, film } => {
            draw_phases(picture, path, phases, (colour, width), film);
        }
    }
}

/// A line with air: its column and what has gathered in a low spot as wide as a full line, liquid on the wall thin, the rest
/// dashed.
fn draw_phases(
    picture: &mut Picture,
    path: &[Pixel],
    phases: LinePhases,
    (colour, width): (RGBColor, u32),
    film_colour: RGBColor,
) {
    let [from, to] = phases.column.unwrap_or([0.5, 0.5]);
    for ([from, to], film) in [[0.0, from], [to, 1.0]].into_iter().zip(phases.film) {
        let piece = between(path, [from, to]);
        if film > WET_FROM {
            picture.line(piece, film_colour, FILM);
        } else {
            draw_empty(picture, &piece);
        }
    }
    if phases.column.is_some() {
        picture.line(between(path, [from, to]), colour, width);
    }
    if let Some([at, share]) = phases.pool.filter(|[_, share]| *share > WET_FROM) {
        let half = (0.5 * share).max(POOL_SEEN);
        picture.line(between(path, [at - half, at + half]), colour, width);
    }
}

/// The piece of `path` between two shares of its length.
fn between(path: &[Pixel], [from, to]: [f32; 2]) -> Vec<Pixel> {
    let (from, to) = (f64::from(from.clamp(0.0, 1.0)), f64::from(to.clamp(0.0, 1.0)));
    if to <= from {
        return Vec::new();
    }
    let (before, _) = cut(path, to);
    cut(&before, from / to).1
}

fn draw_empty(picture: &mut Picture, path: &[Pixel]) {
    let (width, dash, gap) = EMPTY;
    picture.dashes(path, (dash, gap), stroke(FAINT, width));
}

/// Appends `path` to `so_far` if they meet at any of their ends.
fn joined(so_far: &mut Path, path: &Path) -> bool {
    let meets = |so_far: &Path| {
        let end = so_far.last();
        end == path.first() || end == path.last()
    };
    if !meets(so_far) {
        so_far.reverse();
        if !meets(so_far) {
            so_far.reverse();
            return false;
        }
    }
    if so_far.last() == path.first() {
        so_far.extend(path.iter().skip(1));
    } else {
        so_far.extend(path.iter().rev().skip(1));
    }
    true
}

/// `path` before and after `share` of its length.
fn cut(path: &[Pixel], share: f64) -> (Vec<Pixel>, Vec<Pixel>) {
    let length = |w: &[Pixel]| f64::from(w[1].0 - w[0].0).hypot(f64::from(w[1].1 - w[0].1));
    let whole: f64 = path.windows(2).map(length).sum();
    let mut left = share * whole;
    for (i, piece) in path.windows(2).enumerate() {
        let here = length(piece);
        if left <= here {
            let part = if here > 0.0 { left / here } else { 0.0 };
            let along = |a: i32, b: i32| a + (part * f64::from(b - a)).round() as i32;
            let at = (along(piece[0].0, piece[1].0), along(piece[0].1, piece[1].1));
            let before = path[..=i].iter().copied().chain([at]).collect();
            let after = [at].into_iter().chain(path[i + 1..].iter().copied()).collect();
            return (before, after);
        }
        left -= here;
    }
    (path.to_vec(), Vec::new())
}

/// Width of lines, px: the more sections, the closer they run.
fn line_width(sections: usize) -> u32 {
    match sections {
        0..=8 => 4,
        9..=11 => 3,
        _ => 2,
    }
}

#[cfg(test)]
mod tests {
    use super::{cut, joined};

    #[test]
    fn lines_join_at_whichever_ends_meet() {
        let (a, b, c) = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0));
        let mut along = vec![a, b];
        assert!(joined(&mut along, &vec![b, c]));
        assert_eq!(along, vec![a, b, c]);
        let mut against = vec![b, a];
        assert!(joined(&mut against, &vec![c, b]));
        assert_eq!(against, vec![a, b, c]);
        assert!(!joined(&mut vec![a, b], &vec![c, (2.0, 2.0)]));
    }

    #[test]
    fn a_cut_path_keeps_its_corners_on_their_sides() {
        let path = [(0, 0), (10, 0), (10, 30)];
        assert_eq!(cut(&path, 0.5), (vec![(0, 0), (10, 0), (10, 10)], vec![(10, 10), (10, 30)]));
        assert_eq!(cut(&path, 0.125).0, vec![(0, 0), (5, 0)]);
        assert_eq!(cut(&path, 1.0).1, vec![(10, 30), (10, 30)]);
    }
}
