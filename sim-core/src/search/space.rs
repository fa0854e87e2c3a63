//! What a design is made of: a level of each variable, or an order of its parts.

use super::random::Random;

/// What a variable can be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Space {
    /// One of so many levels, at least 1, that follow one another: entries of a catalogue, steps of a range.
    Levels(usize),
    /// An order of so many things, at least 1.
    Order(usize),
}

/// What a variable is in one design.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gene {
    /// Which level, from 0.
    Level(usize),
    /// Which thing comes first, second and so on.
    Order(Vec<usize>),
}

/// A design: a gene for each variable.
pub type Design = Vec<Gene>;

/// Levels from which parents are mixed in between instead of one or the other being taken.
const MANY: usize = 12;

impl Space {
    /// How many there are; `None` where that is beyond counting.
    pub fn count(&self) -> Option<usize> {
        match self {
            Self::Levels(count) => Some(*count),
            Self::Order(count) => (1..=*count).try_fold(1usize, usize::checked_mul),
        }
    }

    /// Number `index` of them.
    pub(super) fn numbered(&self, mut index: usize) -> Gene {
        match self {
            Self::Levels(_) => Gene::Level(index),
            Self::Order(count) => {
                let mut left: Vec<usize> = (0..*count).collect();
                let order = (1..=*count).rev().map(|places| {
                    let at = index % places;
                    index /= places;
                    left.remove(at)
                });
                Gene::Order(order.collect())
            }
        }
    }

    /// The one at a share `at` (0 to 1) of all; of orders any.
    pub(super) fn at(&self, at: f64, random: &mut Random) -> Gene {
        match self {
            Self::Levels(count) => Gene::Level(((at * *count as f64) as usize).min(count - 1)),
            Self::Order(count) => {
                let mut order: Vec<usize> = (0..*count).collect();
                for last in (1..*count).rev() {
                    order.swap(last, random.below(last + 1));
                }
                Gene::Order(order)
            }
        }
    }

    /// A child of two parents.
    pub(super) fn crossed(&self, a: &Gene, b: &Gene, random: &mut Random) -> Gene {
        match (self, a, b) {
            (Self::Levels(count), Gene::Level(a), Gene::Level(b)) if *count >= MANY => {
                let weight = 1.5 * random.share() - 0.25;
                let between = *a as f64 + weight * (*b as f64 - *a as f64);
                Gene::Level(between.round().clamp(0.0, (count - 1) as f64) as usize)
            }
            // A stretch of one parent, the rest in the order of the other (order crossover, Davis 1985, from memory).
            (Self::Order(count), Gene::Order(a), Gene::Order(b)) => {
                let (one, other) = (random.below(*count), random.below(*count));
                let stretch = one.min(other)..one.max(other) + 1;
                let kept = &a[stretch.clone()];
                let mut rest = b.iter().filter(|thing| !kept.contains(thing));
                let place = |at: usize| {
                    if stretch.contains(&at) { Some(a[at]) } else { rest.next().copied() }
                };
                Gene::Order((0..*count).filter_map(place).collect())
            }
            _ => {
                if random.share() < 0.5 {
                    a.clone()
                } else {
                    b.clone()
                }
            }
        }
    }

    /// The same with something changed: mostly a little, sometimes to anything.
    pub(super) fn mutated(&self, gene: &Gene, random: &mut Random) -> Gene {
        match (self, gene) {
            (Self::Levels(count), Gene::Level(level)) if *count > 1 && random.share() < 0.75 => {
                let most = (*count / 8).max(1);
                let step = 1 + random.below(most);
                let up = random.share() < 0.5;
                let moved = if up { level + step } else { level.saturating_sub(step) };
                Gene::Level(moved.min(count - 1))
            }
            (Self::Levels(count), _) => Gene::Level(random.below(*count)),
            (Self::Order(count), Gene::Order(order)) => {
                let mut order = order.clone();
                order.swap(random.below(*count), random.below(*count));
                Gene::Order(order)
            }
            (Self::Order(_), Gene::Level(_)) => gene.clone(),
        }
    }
}

/// How many designs `spaces` hold; `None` where that is beyond counting.
pub fn count(spaces: &[Space]) -> Option<usize> {
    spaces.iter().try_fold(1usize, |all, space| all.checked_mul(space.count()?))
}

/// Number `index` of the designs that `spaces` hold.
pub(super) fn numbered(spaces: &[Space], mut index: usize) -> Design {
    let gene = |space: &Space| {
        let count = space.count().unwrap_or(1);
        let gene = space.numbered(index % count);
        index /= count;
        gene
    };
    spaces.iter().map(gene).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn numbers_name_each_design_once_and_children_are_designs() {
        let spaces = [Space::Levels(3), Space::Order(4), Space::Levels(20)];
        let all = count(&spaces).unwrap();
        assert_eq!(all, 3 * 24 * 20);
        let designs: BTreeSet<Design> = (0..all).map(|i| numbered(&spaces, i)).collect();
        assert_eq!(designs.len(), all);
        let mut random = Random::new(5);
        for i in 0..all - 1 {
            let (a, b) = (numbered(&spaces, i), numbered(&spaces, i + 1));
            let child: Design = (0..3)
                .map(|at| {
                    let crossed = spaces[at].crossed(&a[at], &b[at], &mut random);
                    spaces[at].mutated(&crossed, &mut random)
                })
                .collect();
            assert!(designs.contains(&child), "{child:?}");
        }
        assert_eq!(count(&[Space::Order(40)]), None);
    }
}
