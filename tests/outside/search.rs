//! The search for layouts: on problems small enough to be known whole, and on a machine.

use checks::root;
use rayon::prelude::*;
use sim_core::layouts::Layouts;
use sim_core::scenario::{
    CatalogueEntry, Choices, InputFault, Scenario, Study, Variable, read, read_catalogue,
    read_study,
};
use sim_core::search::{Design, Effort, Gene, Judged, Space, count, front, search};
use sim_core::settings::SettingPath;
use sim_core::simulation;
use std::path::Path;

/// Volume between `points` and `worst`, in as many aims as these have: slices along the last aim (Zitzler and Thiele 1998, from
/// memory).
fn hypervolume(points: &[Vec<f64>], worst: &[f64]) -> f64 {
    let last = worst.len() - 1;
    let mut inside: Vec<&Vec<f64>> =
        points.iter().filter(|point| point.iter().zip(worst).all(|(p, w)| p < w)).collect();
    if last == 0 {
        return inside.iter().map(|point| worst[0] - point[0]).fold(0.0, f64::max);
    }
    inside.sort_by(|a, b| a[last].total_cmp(&b[last]));
    let slices = inside.iter().enumerate().map(|(i, point)| {
        let to = inside.get(i + 1).map_or(worst[last], |next| next[last]);
        if to <= point[last] {
            return 0.0;
        }
        let below: Vec<Vec<f64>> = inside[..=i].iter().map(|p| p[..last].to_vec()).collect();
        (to - point[last]) * hypervolume(&below, &worst[..last])
    });
    slices.sum()
}

/// The hypervolume of the best of `judged`, each aim counted from `worst`.
fn volume_of(judged: &[Judged], worst: &[f64]) -> f64 {
    let all: Vec<&Judged> = judged.iter().collect();
    let points: Vec<Vec<f64>> = front(&all).into_iter().map(|at| all[at].aims.clone()).collect();
    hypervolume(&points, worst)
}

/// The largest value of each aim on the true front, a tenth of the range beyond.
fn worst_of(judged: &[Judged]) -> Vec<f64> {
    let all: Vec<&Judged> = judged.iter().collect();
    let best = front(&all);
    let aims = all[best[0]].aims.len();
    let end = |aim: usize, pick: fn(f64, f64) -> f64| {
        best.iter().map(|at| all[*at].aims[aim]).reduce(pick).unwrap()
    };
    (0..aims).map(|aim| 1.1 * end(aim, f64::max) - 0.1 * end(aim, f64::min)).collect()
}

#[test]
fn volumes_of_boxes_are_those_worked_by_hand() {
    let two = [vec![1.0, 3.0], vec![2.0, 1.0], vec![5.0, 0.0]];
    // 3 x 1 above 2 x 2: (4 - 1) (4 - 3) + (4 - 2) (3 - 1).
    assert_eq!(hypervolume(&two, &[4.0, 4.0]), 7.0);
    let three = [vec![0.0, 0.0, 1.0], vec![1.0, 1.0, 0.0]];
    // Two boxes of 4 and 2 share 1.
    assert_eq!(hypervolume(&three, &[2.0, 2.0, 2.0]), 5.0);
}

/// A knapsack whose every filling can be counted: weights and values without any source, 4096 fillings, a limit on their number.
#[test]
fn a_tenth_of_all_designs_shows_nearly_all_of_what_can_be_had() {
    let spaces: Vec<Space> = vec![
        Space::Levels(8),
        Space::Levels(8),
        Space::Levels(8),
        Space::Levels(2),
        Space::Levels(4),
    ];
    let judge = |design: &Design| {
        let level = |at: usize| match design[at] {
            Gene::Level(level) => level as f64,
            Gene::Order(_) => f64::NAN,
        };
        let cost = 3.0 * level(0) + 2.0 * level(1) + 5.0 * level(2) + 9.0 * level(3) + level(4);
        let loss = 40.0 / (1.0 + level(0)) + 30.0 / (1.0 + level(1)) + 60.0 / (1.0 + level(2))
            - 8.0 * level(3)
            + (level(4) - 2.0).powi(2);
        let over = level(0) + level(1) + level(2) - 15.0;
        Some(Judged { aims: vec![cost, loss], violation: f64::max(over, 0.0) })
    };
    let all = count(&spaces).unwrap();
    let found = |budget: usize, seed: u32| -> Vec<Judged> {
        let found = search(&spaces, Effort { budget, seed }, &[], &judge, &Judged::clone);
        assert!(found.len() <= budget);
        found.into_iter().map(|(_, judged)| judged).collect()
    };
    let whole = found(all, 0);
    assert_eq!(whole.len(), all);
    let worst = worst_of(&whole);
    let truth = volume_of(&whole, &worst);
    let near = |seed: &u32| volume_of(&found(all / 10, *seed), &worst) >= 0.95 * truth;
    assert!((1..=10).filter(near).count() >= 9);
}

/// The order with the fewest neighbours out of turn is the sorted one: known without a search.
#[test]
fn the_best_order_of_nine_is_found_among_many() {
    let spaces = [Space::Order(9), Space::Levels(5)];
    let judge = |design: &Design| {
        let (Gene::Order(order), Gene::Level(level)) = (&design[0], &design[1]) else {
            return None;
        };
        let out: usize = order.iter().enumerate().map(|(at, part)| at.abs_diff(*part)).sum();
        Some(Judged { aims: vec![out as f64 + *level as f64], violation: 0.0 })
    };
    let least = |seed: u32| {
        let found = search(&spaces, Effort { budget: 2500, seed }, &[], &judge, &Judged::clone);
        found.iter().map(|(_, judged)| judged.aims[0]).fold(f64::INFINITY, f64::min)
    };
    assert!((1..=5).filter(|seed| least(*seed) <= 2.0).count() >= 4);
}

struct Studied {
    study: Study,
    text: String,
    catalogue: Vec<CatalogueEntry>,
}

fn studied(name: &str) -> Studied {
    let folder = root().join("demo-data/studies");
    let text = |path: &Path| std::fs::read_to_string(path).unwrap();
    let study = read_study(&text(&folder.join(name))).unwrap();
    let base = text(&folder.join(study.base.as_ref().unwrap()));
    let catalogue = read_catalogue(&text(&folder.join("parts.csv"))).unwrap();
    Studied { study, text: base, catalogue }
}

fn reread(text: String) -> Result<Scenario, Vec<InputFault>> {
    read(&text, &checks::Beside(&root().join("scenarios")))
}

/// How many layouts `of` has, and for each of so many seeds the share of the true front's hypervolume that a search of one in `share` of
/// them finds.
fn volumes(mut of: Studied, share: usize, seeds: u32) -> (usize, Vec<f64>) {
    of.study.goals.budget = usize::MAX;
    let run = |scenario: &Scenario| simulation::run(&scenario.machine, &scenario.course);
    let numbers = |of: &Studied, seed: u32| -> Vec<Judged> {
        let layouts = Layouts::new(&of.study, &of.text, &of.catalogue, &reread).unwrap();
        let found = layouts.search(seed, &run, &|_| true);
        let aims = |layout: &sim_core::layouts::JudgedLayout| {
            let aims = of.study.goals.aims.iter();
            aims.map(|aim| layout.aim(*aim).unwrap_or(f64::INFINITY)).collect()
        };
        found
            .iter()
            .map(|(_, layout)| Judged { aims: aims(layout), violation: layout.violation })
            .collect()
    };
    let whole = numbers(&of, 0);
    let worst = worst_of(&whole);
    let truth = volume_of(&whole, &worst);
    of.study.goals.budget = whole.len() / share;
    let seeds: Vec<u32> = (1..=seeds).collect();
    let shares = seeds.par_iter().map(|seed| volume_of(&numbers(&of, *seed), &worst) / truth);
    (whole.len(), shares.collect())
}

/// Every bore and valve of a small sprayer, judged at two rates: what a fifth of the layouts shows of all.
#[test]
fn on_a_machine_a_part_of_the_layouts_shows_nearly_all_of_the_front() {
    let (all, shares) = volumes(studied("larkfield-bores.toml"), 5, 4);
    assert_eq!(all, 4 * 5 * 6 * 4);
    assert!(shares.iter().filter(|share| **share >= 0.95).count() >= 3, "{shares:?}");
}

/// The same with ten pressures: 4800 layouts.
#[test]
#[ignore = "a minute or two: every layout, then a tenth of them with each of ten seeds"]
fn on_a_machine_a_tenth_of_the_layouts_shows_nearly_all_of_the_front() {
    let mut of = studied("larkfield-bores.toml");
    let pressure = Variable {
        name: "pressure".into(),
        path: SettingPath::parse("control.hold").unwrap(),
        choices: Choices::Range(2.4, 3.3, 9, " bar".into()),
        span: 0..0,
    };
    of.study.goals.variables.push(pressure);
    let (all, shares) = volumes(of, 10, 10);
    println!("{all} layouts, shares of the hypervolume {shares:.3?}");
    assert_eq!(all, 4800);
    assert!(shares.iter().filter(|share| **share >= 0.95).count() >= 9, "{shares:?}");
}
