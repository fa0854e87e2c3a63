//! Looks for designs that no other beats: every design where there are few, else generation by generation (NSGA-II: Deb and others 2002,
//! doi 10.1109/4235.996017, from memory).

use super::dominance::{better, ranks};
use super::judged::Judged;
use super::random::Random;
use super::space::{Design, Space, count, numbered};
use crate::study::sobol;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// How much is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Most designs that are judged.
    pub budget: usize,
    /// Which of all ways to go.
    pub seed: u32,
}

/// Designs of a generation, but for small budgets.
const GENERATION: usize = 32;
/// Least number of generations of a budget.
const LEAST_GENERATIONS: usize = 8;
/// Chance that a child mixes two parents.
const CROSSED: f64 = 0.9;
/// Tries to make a child that was not judged before, before any design is taken.
const TRIES: usize = 40;

/// Judges designs of `spaces` with `judge`, at most so many as `effort` allows; the start, if given, first. Returns each design once
/// with how it came out, in the order in which they were taken: the same on any number of threads. `judge` gives `None` once it is to
/// end.
pub fn search<T: Send>(
    spaces: &[Space],
    effort: Effort,
    start: &[Design],
    judge: &(dyn Fn(&Design) -> Option<T> + Sync),
    judged: &(dyn Fn(&T) -> Judged + Sync),
) -> Vec<(Design, T)> {
    if let Some(all) = count(spaces).filter(|all| *all <= effort.budget) {
        let designs: Vec<Design> = (0..all).map(|index| numbered(spaces, index)).collect();
        return judge_all(designs, judge).0;
    }
    let size = GENERATION.min((effort.budget / LEAST_GENERATIONS).max(4)) & !1;
    let mut random = Random::new(u64::from(effort.seed));
    let mut seen: BTreeSet<Design> = BTreeSet::new();
    let mut first: Vec<Design> = start.to_vec();
    let mut index = 0;
    while first.len() < size.min(effort.budget) {
        let at = |(dimension, space): (usize, &Space)| {
            space.at(sobol(index, dimension as u32, effort.seed), &mut random)
        };
        first.push(spaces.iter().enumerate().map(at).collect());
        index += 1;
    }
    first.retain(|design| seen.insert(design.clone()));
    let (mut done, mut ended) = judge_all(first, judge);
    let mut alive: Vec<usize> = (0..done.len()).collect();
    while !ended && done.len() < effort.budget {
        let parents: Vec<Judged> = alive.iter().map(|at| judged(&done[*at].1)).collect();
        let parents: Vec<&Judged> = parents.iter().collect();
        let ranks = ranks(&parents);
        let mut children = Vec::new();
        let wanted = size.min(effort.budget - done.len());
        while children.len() < wanted {
            let chosen = |random: &mut Random| {
                let (a, b) = (random.below(alive.len()), random.below(alive.len()));
                let one = if better(ranks[a], ranks[b]).is_le() { a } else { b };
                &done[alive[one]].0
            };
            let child = new_child(spaces, &seen, &mut random, chosen);
            let Some(child) = child else { break };
            seen.insert(child.clone());
            children.push(child);
        }
        let before = done.len();
        let (more, stopped) = judge_all(children, judge);
        done.extend(more);
        ended = stopped || done.len() == before;
        alive.extend(before..done.len());
        alive = survivors(alive, size, |at| judged(&done[at].1));
    }
    done
}

/// Judges `designs` on all threads; whether it was to end before all were judged.
fn judge_all<T: Send>(
    designs: Vec<Design>,
    judge: &(dyn Fn(&Design) -> Option<T> + Sync),
) -> (Vec<(Design, T)>, bool) {
    let found: Vec<Option<T>> = designs.par_iter().map(judge).collect();
    let ended = found.iter().any(Option::is_none);
    let both = designs.into_iter().zip(found);
    (both.filter_map(|(design, found)| Some((design, found?))).collect(), ended)
}

/// A child that is not among those `seen`; `None` where hardly any is left.
fn new_child<'d>(
    spaces: &[Space],
    seen: &BTreeSet<Design>,
    random: &mut Random,
    chosen: impl Fn(&mut Random) -> &'d Design,
) -> Option<Design> {
    let share = 1.0 / spaces.len().max(1) as f64;
    for attempt in 0..2 * TRIES {
        let (a, b) = (chosen(random), chosen(random));
        let crosses = random.share() < CROSSED;
        let gene = |(at, space): (usize, &Space)| {
            let gene = if crosses { space.crossed(&a[at], &b[at], random) } else { a[at].clone() };
            // What was seen too often is left further behind.
            let moves = random.share() < share * (1.0 + attempt as f64 / 8.0);
            if moves { space.mutated(&gene, random) } else { gene }
        };
        let child: Design = spaces.iter().enumerate().map(gene).collect();
        if !seen.contains(&child) {
            return Some(child);
        }
    }
    let any = |random: &mut Random| -> Design {
        spaces
            .iter()
            .map(|space| {
                let at = random.share();
                space.at(at, random)
            })
            .collect()
    };
    (0..TRIES).map(|_| any(random)).find(|design| !seen.contains(design))
}

/// The best `size` of `alive`, in their order.
fn survivors(alive: Vec<usize>, size: usize, judged: impl Fn(usize) -> Judged) -> Vec<usize> {
    let all: Vec<Judged> = alive.iter().map(|at| judged(*at)).collect();
    let all: Vec<&Judged> = all.iter().collect();
    let ranks = ranks(&all);
    let mut order: Vec<usize> = (0..alive.len()).collect();
    order.sort_by(|a, b| better(ranks[*a], ranks[*b]).then(a.cmp(b)));
    order.truncate(size);
    order.sort_unstable();
    order.into_iter().map(|at| alive[at]).collect()
}
