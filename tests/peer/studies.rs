//! Studies against general-purpose libraries: sensitivity by SALib, search by pymoo, on the same problems and budgets.

use super::{PYTHON, lacks};
use checks::root;
use serde_json::Value;
use sim_core::search::{Design, Effort, Gene, Judged, Space, front, search};
use sim_core::study::{SamplePlan, effects};
use std::f64::consts::PI;
use std::process::Command;

const REQUIREMENTS: &str = "tests/peer/requirements-studies.txt";
/// As in `referee.py`.
const LEVELS: usize = 20;
const VARIABLES: usize = 8;
const BUDGET: usize = 640;
const WORST: [f64; 2] = [1.1, 6.0];

/// What the referee says; `None`, and a word, where its packages are missing.
fn referee() -> Option<Value> {
    let python = std::env::var(PYTHON).unwrap_or_else(|_| "python3".into());
    if let Some(why) = lacks(&python, REQUIREMENTS) {
        let word =
            format!("skipped: the referee of studies ({python}: {why}); see tests/peer/README.md");
        eprintln!("{word}");
        return None;
    }
    let output = Command::new(python)
        .arg(root().join("tests/peer/referee.py"))
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    Some(serde_json::from_slice(&output.stdout).unwrap())
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

/// Zitzler, Deb and Thiele 2000 (from memory), in steps.
fn judged(design: &Design) -> Judged {
    let share = |gene: &Gene| match gene {
        Gene::Level(level) => *level as f64 / LEVELS as f64,
        Gene::Order(_) => f64::NAN,
    };
    let one = share(&design[0]);
    let rest = 1.0 + 9.0 * design[1..].iter().map(share).sum::<f64>() / (VARIABLES - 1) as f64;
    Judged { aims: vec![one, rest * (1.0 - (one / rest).sqrt())], violation: 0.0 }
}

/// The area between the front of a search and [`WORST`].
fn hypervolume(seed: u32) -> f64 {
    let spaces = vec![Space::Levels(LEVELS + 1); VARIABLES];
    let effort = Effort { budget: BUDGET, seed };
    let found = search(&spaces, effort, &[], &|design| Some(judged(design)), &Judged::clone);
    let all: Vec<&Judged> = found.iter().map(|(_, judged)| judged).collect();
    let mut best: Vec<&[f64]> = front(&all).iter().map(|at| all[*at].aims.as_slice()).collect();
    best.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let to = |i: usize| best.get(i + 1).map_or(WORST[0], |next| next[0]);
    let boxes = best
        .iter()
        .enumerate()
        .map(|(i, point)| (to(i) - point[0]).max(0.0) * (WORST[1] - point[1]).max(0.0));
    boxes.sum()
}

#[test]
fn a_library_comes_to_the_same_indices_and_finds_no_better_fronts() {
    let Some(referee) = referee() else { return };
    let plan = SamplePlan { inputs: 3, draws: 4096, moved: 4096, seed: 1 };
    let values: Vec<Option<f64>> = plan
        .points()
        .iter()
        .map(|u| {
            let x: Vec<f64> = u.iter().map(|u| PI * (2.0 * u - 1.0)).collect();
            Some(x[0].sin() + 7.0 * x[1].sin().powi(2) + 0.1 * x[2].powi(4) * x[0].sin())
        })
        .collect();
    for (effect, theirs) in effects(&plan, &values).iter().zip(numbers(&referee["totals"])) {
        assert!((effect.total.unwrap() - theirs).abs() < 0.02, "{effect:?}, {theirs}");
    }
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let theirs = mean(&numbers(&referee["hypervolumes"]));
    let ours: Vec<f64> = (1..=5).map(hypervolume).collect();
    println!("hypervolume: ours {ours:.3?}, the library's mean {theirs:.3}");
    assert!(mean(&ours) >= 0.95 * theirs.max(mean(&ours)), "{ours:?}, {theirs}");
}
