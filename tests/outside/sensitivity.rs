//! Which inputs matter, and how sure a chance is: functions whose answers are known in closed form.

use sim_core::study::{Chance, SamplePlan, effects, quantile};
use std::f64::consts::PI;

/// Total indices of `of` over the unit cube of `inputs`.
fn totals(inputs: usize, of: impl Fn(&[f64]) -> f64) -> Vec<f64> {
    let plan = SamplePlan { inputs, draws: 4096, moved: 4096, seed: 1 };
    let values: Vec<Option<f64>> = plan.points().iter().map(|point| Some(of(point))).collect();
    effects(&plan, &values).iter().map(|effect| effect.total.unwrap()).collect()
}

fn all_within(found: &[f64], known: &[f64], tolerance: f64) {
    for (found, known) in found.iter().zip(known) {
        assert!((found - known).abs() <= tolerance, "{found} for {known}");
    }
}

/// Ishigami and Homma 1990 with a = 7, b = 0.1 (from memory): y = sin x1 + a sin2 x2 + b x3^4 sin x1, each x between -pi and pi;
/// the partial variances are derived from it by hand.
#[test]
fn total_indices_of_the_function_of_ishigami() {
    let (a, b) = (7.0, 0.1);
    let found = totals(3, |u| {
        let x: Vec<f64> = u.iter().map(|u| PI * (2.0 * u - 1.0)).collect();
        x[0].sin() + a * x[1].sin().powi(2) + b * x[2].powi(4) * x[0].sin()
    });
    let (v1, v2) = (0.5 * (1.0 + b * PI.powi(4) / 5.0).powi(2), a * a / 8.0);
    let v13 = b * b * PI.powi(8) * (1.0 / 18.0 - 1.0 / 50.0);
    let all = v1 + v2 + v13;
    all_within(&found, &[(v1 + v13) / all, v2 / all, v13 / all], 0.02);
}

/// The variance of a sum is the sum of variances; a range of one moves it by its factor, exactly.
#[test]
fn a_linear_sum_shares_its_variance_by_the_squares_of_its_factors() {
    let factors = [5.0, 3.0, 2.0, 1.0, 0.0];
    let sum = |u: &[f64]| u.iter().zip(factors).map(|(u, factor)| u * factor).sum::<f64>();
    let squares: f64 = factors.iter().map(|factor| factor * factor).sum();
    all_within(&totals(5, sum), &factors.map(|factor| factor * factor / squares), 0.02);
    let plan = SamplePlan { inputs: 5, draws: 8, moved: 8, seed: 3 };
    let values: Vec<Option<f64>> = plan.points().iter().map(|point| Some(sum(point))).collect();
    for (effect, factor) in effects(&plan, &values).iter().zip(factors) {
        assert!((effect.moves_by - factor).abs() < 1e-9);
        assert_eq!(effect.total, None, "eight points are too few for totals");
    }
}

/// Saltelli and Sobol 1995 (from memory): the product of (|4 x - 2| + a) / (1 + a), whose partial variances are
/// 1 / (3 (1 + a)^2) each, all together their product plus 1, less 1.
#[test]
fn total_indices_of_the_g_function() {
    let a = [0.0, 1.0, 4.5, 9.0, 99.0, 99.0];
    let found = totals(6, |u| {
        u.iter().zip(a).map(|(u, a)| ((4.0 * u - 2.0).abs() + a) / (1.0 + a)).product()
    });
    let parts = a.map(|a| 1.0 / (3.0 * (1.0 + a) * (1.0 + a)));
    let product: f64 = parts.iter().map(|part| 1.0 + part).product();
    let known = parts.map(|part| part * product / (1.0 + part) / (product - 1.0));
    all_within(&found, &known, 0.02);
}

/// The sum of three numbers between 0 and 1 is below 1 with a chance of 1/6, below 2 with 5/6 (Irwin 1927, Hall 1927): in repeated
/// trials the interval of a chance holds that, and a band of 5 to 95 of 100 holds nine tenths of all.
#[test]
fn in_repeated_trials_intervals_hold_what_they_promise() {
    let below = |x: f64| match x {
        ..1.0 => x.powi(3) / 6.0,
        1.0..2.0 => (-2.0 * x.powi(3) + 9.0 * x * x - 9.0 * x + 3.0) / 6.0,
        _ => 1.0 - (3.0 - x).powi(3) / 6.0,
    };
    let (mut held, mut inside, trials) = (0, 0.0, 400);
    for seed in 0..trials {
        let plan = SamplePlan { inputs: 3, draws: 64, moved: 0, seed };
        let mut sums: Vec<f64> = plan.points().iter().map(|point| point.iter().sum()).collect();
        sums.sort_by(f64::total_cmp);
        let met = sums.iter().filter(|sum| **sum < 1.0).count();
        let (low, high) = Chance { met, of: sums.len() }.within();
        held += usize::from((low..=high).contains(&(1.0 / 6.0)));
        let (from, to) = (quantile(&sums, 0.05).unwrap(), quantile(&sums, 0.95).unwrap());
        inside += below(to) - below(from);
    }
    assert!(held as f64 >= 0.95 * f64::from(trials), "{held}");
    let mean = inside / f64::from(trials);
    assert!((mean - 0.9).abs() < 0.02, "{mean}");
}
