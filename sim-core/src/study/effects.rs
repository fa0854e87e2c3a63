//! Which inputs matter: what one does when it alone is moved.

use super::points::SamplePlan;

/// What one input does to a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effect {
    /// How far the result moves over the whole range of the input, on the mean, either way: elementary effects (Morris 1991,
    /// Technometrics 33; as absolute values, Campolongo and others 2007, Environmental Modelling & Software 22, from memory).
    pub moves_by: f64,
    /// Share of the result's variance that would go if the input were known, with all that it does together with others:
    /// its total index (Jansen 1999, Computer Physics Communications 117, from memory); `None` where too few points were moved
    /// to tell.
    pub total: Option<f64>,
}

/// Moved points from which total indices can be told.
const ENOUGH_FOR_TOTALS: usize = 64;

/// What each input does to a result whose values at the points of `plan` are `values`; `None` stands for a point without one,
/// which does not count.
pub fn effects(plan: &SamplePlan, values: &[Option<f64>]) -> Vec<Effect> {
    let drawn: Vec<f64> = values[..plan.draws as usize].iter().copied().flatten().collect();
    let mean = drawn.iter().sum::<f64>() / drawn.len().max(1) as f64;
    let variance =
        drawn.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / drawn.len().max(1) as f64;
    let of_input = |input: usize| {
        let moves = (0..plan.moved).filter_map(|index| {
            let change = values[plan.place_of(index, input)]? - values[index as usize]?;
            Some((change, plan.step(index, input)))
        });
        let moves: Vec<(f64, f64)> = moves.collect();
        let sum = |of: fn(&(f64, f64)) -> f64| moves.iter().map(of).sum::<f64>();
        let (changes, steps, squares) = (sum(|m| m.0.abs()), sum(|m| m.1), sum(|m| m.0 * m.0));
        let total = || squares / (2.0 * moves.len() as f64 * variance);
        Effect {
            moves_by: if steps > 0.0 { changes / steps } else { 0.0 },
            total: (moves.len() >= ENOUGH_FOR_TOTALS && variance > 0.0).then(total),
        }
    };
    (0..plan.inputs).map(of_input).collect()
}
