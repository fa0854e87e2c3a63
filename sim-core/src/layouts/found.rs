//! What a search found: the layouts that count, what they lean on, and what stands in the way where none keeps the limits.

use super::judge::{JudgedLayout, Leaning};
use super::problem::Layouts;
use crate::scenario::Aim;
use crate::search::{Design, Effort, Judged, compromise, front, in_boxes, search};
use crate::study::RunOne;

/// Most layouts beside those with a name.
const MOST_OTHERS: usize = 30;
/// Aims that give a layout its name.
const NAMING_AIMS: usize = 3;

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Every layout that was judged, in that order.
    pub judged: Vec<(Design, JudgedLayout)>,
    /// Indices of those that no other beats, and that keep every limit.
    pub front: Vec<usize>,
    /// Those that are put forward: the named ones, then at most thirty others.
    pub named: Vec<PutForward>,
    /// What stands in the way, where none keeps every limit: the limits that most layouts break first.
    pub obstacles: Vec<Obstacle>,
}

/// A layout that is put forward.
#[derive(Clone, Debug, PartialEq)]
pub struct PutForward {
    /// Which of those judged.
    pub index: usize,
    /// The aims of which it has the best; empty where it only stands for others like it.
    pub best_of: Vec<Aim>,
    /// Whether it is the best compromise.
    pub compromise: bool,
    /// The limit that it comes nearest to.
    pub leans_on: Option<Leaning>,
    /// What to be careful of.
    pub cautions: Vec<Caution>,
}

impl PutForward {
    /// Whether it is the best of something, or the best compromise.
    pub fn has_a_name(&self) -> bool {
        self.compromise || !self.best_of.is_empty()
    }
}

/// A variable that is at an end of what was offered.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    /// Index of the variable.
    pub variable: usize,
    /// Whether it is the last that was offered, else the first.
    pub last: bool,
}

/// A limit that stands in the way.
#[derive(Clone, Debug, PartialEq)]
pub struct Obstacle {
    /// Layouts that break it, of those in which it was judged.
    pub broken: usize,
    /// Layouts in which it was judged.
    pub of: usize,
    /// The layout that comes nearest to keeping it.
    pub nearest: Leaning,
}

impl Layouts<'_> {
    /// Judges layouts, as many as the budget of the study allows; `tell` hears of each and says whether to go on.
    pub fn search(
        &self,
        seed: u32,
        run: &RunOne<'_>,
        tell: &(dyn Fn(&JudgedLayout) -> bool + Sync),
    ) -> Vec<(Design, JudgedLayout)> {
        let effort = Effort { budget: self.study.goals.budget, seed };
        let start: Vec<Design> = self.base_design().into_iter().collect();
        let judge = |design: &Design| {
            let judged = self.judge(design, run);
            tell(&judged).then_some(judged)
        };
        search(&self.spaces, effort, &start, &judge, &|layout: &JudgedLayout| {
            self.in_numbers(layout)
        })
    }

    /// What counts of `layout`, the less the better.
    fn in_numbers(&self, layout: &JudgedLayout) -> Judged {
        let aims = self.study.goals.aims.iter();
        let of = |aim: &Aim| layout.aim(*aim).unwrap_or(f64::INFINITY);
        let better = |aim: &Aim| match aim {
            Aim::Measure(measure) if measure.better() == crate::measures::Better::More => -of(aim),
            _ => of(aim),
        };
        Judged { aims: aims.map(better).collect(), violation: layout.violation }
    }

    /// What of `judged` counts.
    pub fn found(&self, judged: Vec<(Design, JudgedLayout)>) -> Found {
        let numbers: Vec<Judged> =
            judged.iter().map(|(_, layout)| self.in_numbers(layout)).collect();
        let numbers: Vec<&Judged> = numbers.iter().collect();
        let front = front(&numbers);
        let points: Vec<&[f64]> = front.iter().map(|at| numbers[*at].aims.as_slice()).collect();
        let mut named: Vec<PutForward> = Vec::new();
        let mut put = |at: usize, aim: Option<Aim>, compromise: bool| {
            let index = front[at];
            let is = |one: &&mut PutForward| one.index == index;
            let one = match named.iter_mut().find(is) {
                Some(one) => one,
                None => {
                    let (design, layout) = &judged[index];
                    named.push(PutForward {
                        index,
                        best_of: Vec::new(),
                        compromise: false,
                        leans_on: layout.limits.first().cloned(),
                        cautions: self.cautions(design),
                    });
                    let last = named.len() - 1;
                    &mut named[last]
                }
            };
            one.best_of.extend(aim);
            one.compromise |= compromise;
        };
        for (aim, which) in self.study.goals.aims.iter().enumerate().take(NAMING_AIMS) {
            let best = (0..front.len()).min_by(|a, b| points[*a][aim].total_cmp(&points[*b][aim]));
            if let Some(best) = best {
                put(best, Some(*which), false);
            }
        }
        if let Some(middle) = compromise(&points) {
            put(middle, None, true);
        }
        in_boxes(&points, MOST_OTHERS).into_iter().for_each(|at| put(at, None, false));
        named.truncate(NAMING_AIMS + 1 + MOST_OTHERS);
        let obstacles = if front.is_empty() { obstacles(&judged) } else { Vec::new() };
        Found { judged, front, named, obstacles }
    }

    fn cautions(&self, design: &Design) -> Vec<Caution> {
        let of = |variable: usize| Some(Caution { variable, last: self.end(design, variable)? });
        (0..design.len()).filter_map(of).collect()
    }
}

/// The limits that some of `judged` break, the one that most break first.
fn obstacles(judged: &[(Design, JudgedLayout)]) -> Vec<Obstacle> {
    let mut found: Vec<Obstacle> = Vec::new();
    for (_, layout) in judged {
        for (at, leaning) in layout.limits.iter().enumerate() {
            // Steps may have a limit in common, parts of a purge have names of their own: the worst of a layout counts.
            if layout.limits[..at].iter().any(|worse| worse.is_of_the_limit_of(leaning)) {
                continue;
            }
            let same = |one: &&mut Obstacle| one.nearest.is_of_the_limit_of(leaning);
            let broken = usize::from(!leaning.judged.met);
            match found.iter_mut().find(same) {
                Some(one) => {
                    (one.broken, one.of) = (one.broken + broken, one.of + 1);
                    if leaning.over < one.nearest.over {
                        one.nearest = leaning.clone();
                    }
                }
                None => found.push(Obstacle { broken, of: 1, nearest: leaning.clone() }),
            }
        }
    }
    found.retain(|one| one.broken > 0);
    let share = |one: &Obstacle| one.broken as f64 / one.of as f64;
    found.sort_by(|a, b| {
        share(b).total_cmp(&share(a)).then(b.nearest.over.total_cmp(&a.nearest.over))
    });
    found
}
