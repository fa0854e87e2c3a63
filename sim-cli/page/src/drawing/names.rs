//! Where names stand on a drawing: none on another, none beyond the frame, off lines and parts where that can be.

use super::strokes::Pixel;

/// Size of small names, px.
pub const SMALL: f64 = 18.0;
/// Height of a line of words over the size of its letters.
const HEIGHT: f64 = 1.2;
/// Least room between a name and a line, and between two names, px.
const GAP: i32 = 3;
/// Letters that a name is cut to.
const MOST_LETTERS: usize = 40;
/// Shares of a piece of line at which its name can be, the best first.
const SHARES: [f64; 9] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.08, 0.92];

/// By how many rows a name is moved where all its places are taken.
const AWAY: [i32; 7] = [0, -1, 1, -2, 2, -3, 3];

/// Which end of a name is at its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// A place for a name: a point half way up its letters.
pub type NameSpot = (Pixel, Anchor);

/// Left, top, right, bottom, px.
pub type Area = [i32; 4];

/// A name that has no place yet.
#[derive(Clone, Debug)]
pub struct WantedName {
    /// What it says.
    pub words: String,
    /// Size of its letters, px.
    pub size: f64,
    /// Where it can be, the best first.
    pub spots: Vec<NameSpot>,
}

/// A name in its place.
#[derive(Clone, Debug)]
pub struct PlacedName {
    /// What it says.
    pub words: String,
    /// Size of its letters, px.
    pub size: f64,
    /// Its point, half way up its letters.
    pub at: Pixel,
    /// Which end of it is there.
    pub anchor: Anchor,
    /// What it takes, where that is across a line or a part.
    pub across: Option<Area>,
}

/// What is on a drawing before names are.
#[derive(Debug)]
pub struct Ground {
    /// What names must be within.
    frame: Area,
    /// Straight pieces of lines, half their widths around them.
    lines: Vec<Area>,
    /// What no name is on where that can be helped: parts, tips, tanks.
    parts: Vec<Area>,
    /// What no name is ever on.
    names: Vec<Area>,
}

/// About how wide `words` are in letters of `size` px, in any common face without serifs.
pub fn width_of(words: &str, size: f64) -> f64 {
    let wide = |letter: char| match letter {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' | '(' | ')' | '/' => 0.34,
        'f' | 't' | 'r' | '-' => 0.42,
        'm' | 'w' | 'M' | 'W' | '%' | '@' => 0.95,
        'A'..='Z' | '_' | '&' | '+' | '=' => 0.72,
        letter if letter.is_ascii() => 0.62,
        _ => 1.0,
    };
    size * words.chars().map(wide).sum::<f64>()
}

/// `name` as a drawing writes it: words for hyphens, cut where it is long.
pub fn plain(name: &str) -> String {
    let words = name.replace('-', " ");
    if words.chars().count() <= MOST_LETTERS {
        return words;
    }
    words.chars().take(MOST_LETTERS - 2).chain("..".chars()).collect()
}

fn area(words: &str, size: f64, ((x, y), anchor): NameSpot) -> Area {
    let (wide, high) = (width_of(words, size).ceil() as i32, (0.5 * HEIGHT * size).ceil() as i32);
    let left = match anchor {
        Anchor::Start => x,
        Anchor::Middle => x - wide / 2,
        Anchor::End => x - wide,
    };
    [left, y - high, left + wide, y + high]
}

fn meet(a: &Area, b: &Area, gap: i32) -> bool {
    a[0] < b[2] + gap && b[0] < a[2] + gap && a[1] < b[3] + gap && b[1] < a[3] + gap
}

impl Ground {
    /// Nothing yet, within `frame`.
    pub fn new(frame: Area) -> Self {
        Self { frame, lines: Vec::new(), parts: Vec::new(), names: Vec::new() }
    }

    /// A line of `width` px along `path`.
    pub fn line(&mut self, path: &[Pixel], width: i32) {
        let half = width / 2;
        self.lines.extend(path.windows(2).map(|ends| {
            let (a, b) = (ends[0], ends[1]);
            [a.0.min(b.0) - half, a.1.min(b.1) - half, a.0.max(b.0) + half, a.1.max(b.1) + half]
        }));
    }

    /// A part, a tip or a tank.
    pub fn part(&mut self, area: Area) {
        self.parts.push(area);
    }

    /// Something that no name may be on.
    pub fn mark(&mut self, area: Area) {
        self.names.push(area);
    }

    /// Puts each of `names` where it fits best, the first first; those that fit nowhere are left out.
    pub fn place(&mut self, names: Vec<WantedName>) -> Vec<PlacedName> {
        names.into_iter().filter_map(|name| self.put(name)).collect()
    }

    /// Brings to the front of the places of each of `names` those of one row, the row in which most names are clear of everything.
    /// The places of each are so many `rows`, one after the other and of equal length.
    pub fn in_one_row(&self, names: &mut [WantedName], rows: usize) {
        let row = |name: &WantedName, row: usize| {
            let length = name.spots.len() / rows;
            row * length..(row + 1) * length
        };
        let clear = |at: &Area| {
            let clear = |others: &[Area]| !others.iter().any(|other| meet(at, other, 0));
            clear(&self.lines) && clear(&self.parts)
        };
        let fits = |name: &&WantedName, k: usize| {
            let open = self.open(&name.words, name.size, &name.spots[row(name, k)], 0);
            open.iter().any(|(_, at)| clear(at))
        };
        let fitting = |k: &usize| names.iter().filter(|name| fits(name, *k)).count();
        // The first of those in which most fit.
        let Some(best) = (0..rows).rev().max_by_key(fitting) else { return };
        for name in names {
            let range = row(name, best);
            name.spots[..range.end].rotate_right(range.len());
        }
    }

    fn put(&mut self, name: WantedName) -> Option<PlacedName> {
        let WantedName { words, size, spots } = name;
        let row = (HEIGHT * size).ceil() as i32 + GAP;
        let open = AWAY.into_iter().map(|rows| self.open(&words, size, &spots, rows * row));
        let open = open.into_iter().find(|open| !open.is_empty())?;
        let on = |at: &Area, others: &[Area]| others.iter().filter(|of| meet(at, of, 0)).count();
        let free =
            |(_, at): &&(NameSpot, Area)| on(at, &self.lines) == 0 && on(at, &self.parts) == 0;
        let least =
            || open.iter().min_by_key(|(_, at)| 3 * on(at, &self.parts) + on(at, &self.lines));
        let best = open.iter().find(free);
        let &((at, anchor), taken) = best.or_else(least)?;
        self.names.push(taken);
        Some(PlacedName { words, size, at, anchor, across: best.is_none().then_some(taken) })
    }

    /// Which of `spots`, moved down by `down`, no other name has, within the frame.
    fn open(&self, words: &str, size: f64, spots: &[NameSpot], down: i32) -> Vec<(NameSpot, Area)> {
        let moved = spots.iter().map(|((x, y), anchor)| ((*x, y + down), *anchor));
        let inside = moved.filter_map(|spot| self.inside(words, size, spot));
        inside.filter(|(_, at)| !self.names.iter().any(|other| meet(at, other, GAP))).collect()
    }

    /// `spot` moved sideways as far as the frame asks; nothing where `words` do not fit into it.
    fn inside(
        &self,
        words: &str,
        size: f64,
        ((x, y), anchor): NameSpot,
    ) -> Option<(NameSpot, Area)> {
        let at = area(words, size, ((x, y), anchor));
        let [left, top, right, bottom] = self.frame;
        if at[1] < top || at[3] > bottom || at[2] - at[0] > right - left {
            return None;
        }
        let by = (left - at[0]).max(0) - (at[2] - right).max(0);
        Some((((x + by, y), anchor), [at[0] + by, at[1], at[2] + by, at[3]]))
    }
}

/// Places beside the straight pieces of `path`, a line of `width` px, for letters of `size` px: the longest piece first.
pub fn beside(path: &[Pixel], width: i32, size: f64) -> Vec<NameSpot> {
    let length = |ends: &&[Pixel]| (ends[1].0 - ends[0].0).abs() + (ends[1].1 - ends[0].1).abs();
    let mut pieces: Vec<&[Pixel]> = path.windows(2).collect();
    pieces.sort_by_key(|ends| std::cmp::Reverse(length(ends)));
    let away = f64::from(width / 2 + GAP) + 0.5 * HEIGHT * size;
    let mut spots = Vec::new();
    for ends in pieces {
        let (a, b) = (ends[0], ends[1]);
        let is_level = (a.0 - b.0).abs() >= (a.1 - b.1).abs();
        for share in SHARES {
            let along = |a: i32, b: i32| a + (share * f64::from(b - a)).round() as i32;
            let (x, y) = (along(a.0, b.0), along(a.1, b.1));
            if is_level {
                let up = away.round() as i32;
                spots.extend([((x, y - up), Anchor::Middle), ((x, y + up), Anchor::Middle)]);
            } else {
                let out = width / 2 + 2 * GAP;
                spots.extend([((x + out, y), Anchor::Start), ((x - out, y), Anchor::End)]);
            }
        }
    }
    spots
}

/// Places around a point, `away` px off, for letters of `size` px: below it first.
pub fn around((x, y): Pixel, away: i32, size: f64) -> Vec<NameSpot> {
    let down = away + (0.5 * HEIGHT * size).ceil() as i32;
    let mut spots = vec![((x, y + down), Anchor::Middle), ((x, y - down), Anchor::Middle)];
    for (across, anchor) in [(away, Anchor::Start), (-away, Anchor::End)] {
        spots.extend([0, down, -down].map(|by| ((x + across, y + by), anchor)));
    }
    spots.extend([2, -2].map(|rows| ((x, y + rows * down), Anchor::Middle)));
    spots
}

/// Places for `words` in a box, upper left and lower right corner, or around it where it is too narrow.
pub fn within([low, high]: [Pixel; 2], words: &str, size: f64) -> Vec<NameSpot> {
    let middle = ((low.0 + high.0) / 2, (low.1 + high.1) / 2);
    if width_of(words, size) <= f64::from(high.0 - low.0) {
        return vec![(middle, Anchor::Middle)];
    }
    let mut spots = around(middle, (high.1 - low.1) / 2 + GAP, size);
    spots.retain(|(_, anchor)| *anchor == Anchor::Middle);
    spots
}

#[cfg(test)]
mod tests {
    use super::{Ground, WantedName, around, beside};

    fn name(words: &str, spots: Vec<super::NameSpot>) -> WantedName {
        WantedName { words: words.to_owned(), size: 18.0, spots }
    }

    fn at(name: &super::PlacedName) -> super::Area {
        super::area(&name.words, name.size, (name.at, name.anchor))
    }

    #[test]
    fn names_keep_off_each_other_and_within_the_frame() {
        let mut ground = Ground::new([0, 0, 400, 200]);
        let names = (0..9).map(|_| name("a long name", around((4, 100), 8, 18.0))).collect();
        let placed = ground.place(names);
        assert!(placed.len() > 1 && placed.len() < 9, "{}", placed.len());
        for (k, one) in placed.iter().enumerate() {
            let [left, top, right, bottom] = at(one);
            assert!(left >= 0 && top >= 0 && right <= 400 && bottom <= 200);
            let apart = |other: &super::PlacedName| !super::meet(&at(one), &at(other), 0);
            assert!(placed[k + 1..].iter().all(apart));
        }
    }

    #[test]
    fn a_name_keeps_off_a_line_where_it_can() {
        let mut ground = Ground::new([0, 0, 400, 200]);
        let path = [(0, 100), (400, 100)];
        ground.line(&path, 16);
        ground.line(&[(200, 60), (200, 99)], 16);
        let placed = ground.place(vec![name("main", beside(&path, 16, 18.0))]);
        assert!(placed[0].at.1 > 108, "{:?}", placed[0].at);
    }
}
