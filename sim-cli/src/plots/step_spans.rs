//! Where do the steps of a run lie on a picture over time, and what are they called there?

use super::axes::Frame;
use super::shortened::shortened;
use super::theme::BAND;

/// How brief the names of an order's parts can be, and in which size, px.
const BREVITIES: [(usize, u32); 4] = [(0, 26), (1, 26), (1, 21), (2, 26)];
/// Most names of steps on one picture, their letters, and the room of a letter, px.
const MOST_NAMES: usize = 12;
pub(super) const MOST_LETTERS: usize = 24;
pub(super) const LETTER: i32 = 13;
/// Share of the longest step from which another counts as long as it.
const ALIKE: f64 = 0.98;

/// A step that lasts, and when, in the unit of time.
#[derive(Clone, Debug)]
pub(super) struct Lasting {
    pub(super) name: String,
    pub(super) from: f64,
    pub(super) to: f64,
}

impl Lasting {
    /// Its name; the briefer, the less of it, if it is a part of an order: "purge, section 3",
    /// "section 3", "3".
    fn brief(&self, brevity: usize) -> String {
        let part = self.name.rfind(", section").map(|at| &self.name[at + 2..]);
        let name = match (brevity, part) {
            (0, _) | (_, None) => self.name.as_str(),
            (1, Some(part)) => part,
            (_, Some(part)) => part.split_once(' ').map_or(part, |(_, last)| last),
        };
        shortened(name, MOST_LETTERS)
    }
}

/// Every other step as a shaded strip, under the grid.
pub(super) fn step_strips(frame: &mut Frame<'_>, steps: &[Lasting]) {
    steps.iter().step_by(2).for_each(|step| frame.strip(step.from, step.to, BAND));
}

/// Whether lines where steps meet would hide what happens between them.
pub(super) fn are_many(steps: &[Lasting]) -> bool {
    steps.len() > 2 * MOST_NAMES
}

/// Where steps meet.
pub(super) fn step_lines(frame: &mut Frame<'_>, steps: &[Lasting]) {
    let meets = steps.iter().skip(1).filter(|_| !are_many(steps));
    meets.for_each(|step| frame.upright(step.from, 2));
}

/// Names of the steps along the top: of those whose names would meet, the longest step's; parts of an
/// order go by what tells them apart where more of them find room that way.
pub(super) fn step_names(frame: &mut Frame<'_>, steps: &[Lasting]) {
    let ((left, _), (right, _)) = frame.corners();
    let mut most: (u32, Vec<(String, i32)>) = (26, Vec::new());
    for (brevity, size) in BREVITIES {
        let letter = size as i32 / 2;
        let room = |step: &Lasting| {
            let half = letter * step.name.chars().count() as i32 / 2 + letter;
            let middle = frame.at(0.5 * (step.from + step.to), 0.0).0;
            let middle = middle.min(right - half).max(left + half);
            (middle - half, middle + half)
        };
        let brief = |step: &Lasting| Lasting { name: step.brief(brevity), ..step.clone() };
        let brief: Vec<Lasting> = steps.iter().map(brief).collect();
        let placed = apart(&brief, room);
        if placed.len() > most.1.len() {
            let words =
                |(step, (from, to)): (&Lasting, (i32, i32))| (step.name.clone(), (from + to) / 2);
            most = (size, placed.into_iter().map(words).collect());
        }
    }
    most.1.iter().for_each(|(name, middle)| frame.words_above(*middle, name, most.0));
}

/// Steps whose `room` does not meet that of a longer one, and no more than a picture bears; of many that are as long as the
/// longest every so many-th.
pub(super) fn apart(
    steps: &[Lasting],
    room: impl Fn(&Lasting) -> (i32, i32),
) -> Vec<(&Lasting, (i32, i32))> {
    let lasts = |step: &&Lasting| step.to - step.from;
    let most = steps.iter().map(|step| lasts(&step)).fold(0.0, f64::max);
    let (alike, mut others): (Vec<&Lasting>, Vec<&Lasting>) =
        steps.iter().partition(|step| lasts(step) > ALIKE * most);
    others.sort_by(|a, b| lasts(b).total_cmp(&lasts(a)));
    let every = alike.len().div_ceil(MOST_NAMES).max(1);
    let others = others.into_iter().filter(|_| every == 1);
    let longest = alike.into_iter().step_by(every).chain(others);
    let mut placed: Vec<(&Lasting, (i32, i32))> = Vec::new();
    for step in longest {
        let (from, to) = room(step);
        let free = placed.iter().all(|(_, other)| to <= other.0 || other.1 <= from);
        if free && placed.len() < MOST_NAMES {
            placed.push((step, (from, to)));
        }
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::{Lasting, MOST_NAMES, apart};

    #[test]
    fn parts_of_an_order_can_go_by_their_sections() {
        let step = |name: &str| Lasting { name: name.into(), from: 0.0, to: 1.0 };
        let part = step("purge, sections 1, 2 and 3");
        assert_eq!(part.brief(1), "sections 1, 2 and 3");
        assert_eq!(part.brief(2), "1, 2 and 3");
        assert_eq!(step("wait, then spray").brief(2), "wait, then spray");
    }

    #[test]
    fn of_many_steps_of_a_kind_evenly_many_are_named() {
        let step = |k: i32| {
            let long = if k % 2 == 0 { 40.0 } else { 20.0 };
            let from = 30.0 * f64::from(k) + if k % 2 == 0 { 0.0 } else { 10.0 };
            Lasting { name: k.to_string(), from, to: from + long }
        };
        let steps: Vec<Lasting> = (0..120).map(step).collect();
        let placed = apart(&steps, |step| (step.from as i32, step.to as i32));
        let named: Vec<i32> = placed.iter().map(|(step, _)| step.name.parse().unwrap()).collect();
        assert_eq!(named, (0..MOST_NAMES as i32).map(|k| 10 * k).collect::<Vec<_>>());
    }
}
