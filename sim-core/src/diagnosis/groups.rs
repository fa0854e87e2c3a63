//! Explanations that the readings cannot tell apart.

use super::candidate::Candidate;
use super::fit::Bench;

/// Distance, in the readings' accuracy, below which two explanations count as one: readings like these would on
/// average favour the true one by odds of less than 3 to 1, too little to act on. The threshold of 3 is the lowest of
/// Kass & Raftery (1995), from memory. The mean log-odds are half the square of the distance.
pub(super) const APART: f64 = 1.482;

/// Candidates in groups, the most probable group first and within a group the most probable candidate.
pub(super) struct Grouped {
    /// Candidates with the numbers of their groups.
    pub(super) candidates: Vec<(Candidate, usize)>,
    /// Sum of the weights of each group.
    pub(super) weights: Vec<f64>,
}

/// Puts `candidates` of weights `weight` into groups: the best one not yet in a group leads the next, and takes with it all that
/// these readings cannot tell from it. Nothing joins the healthy machine, nor does it join a fault.
pub(super) fn grouped(
    bench: &Bench<'_>,
    mut candidates: Vec<Candidate>,
    weight: impl Fn(&Candidate) -> f64,
) -> Grouped {
    // The sort is stable and the order before it fixed: equal weights keep the order of the catalogue.
    candidates.sort_by(|a, b| b.log_weight().total_cmp(&a.log_weight()));
    let mut leads: Vec<usize> = Vec::new();
    let mut group = vec![0; candidates.len()];
    for (i, candidate) in candidates.iter().enumerate() {
        let joins = |lead: &usize| {
            let lead = &candidates[*lead];
            !lead.faults.is_empty()
                && !candidate.faults.is_empty()
                && bench.distance(&lead.fit.predicted, &candidate.fit.predicted) < APART
        };
        group[i] = leads.iter().position(joins).unwrap_or(leads.len());
        if group[i] == leads.len() {
            leads.push(i);
        }
    }
    let mut weights = vec![0.0; leads.len()];
    candidates.iter().zip(&group).for_each(|(c, group)| weights[*group] += weight(c));
    let mut order: Vec<usize> = (0..leads.len()).collect();
    order.sort_by(|a, b| weights[*b].total_cmp(&weights[*a]));
    let mut rank = vec![0; order.len()];
    order.iter().enumerate().for_each(|(place, group)| rank[*group] = place);
    let mut all: Vec<(Candidate, usize)> =
        candidates.into_iter().zip(group.into_iter().map(|group| rank[group])).collect();
    all.sort_by_key(|(_, group)| *group);
    Grouped { candidates: all, weights: order.iter().map(|group| weights[*group]).collect() }
}
