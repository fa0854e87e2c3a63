//! Times of the steady solve: `cargo bench -p sim-core`.

#![allow(clippy::unwrap_used, reason = "a bench may stop")]

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use sim_core::fluids::water;
use sim_core::hydraulics::Solver;
use sim_core::plumbing::boom::{Feed, build, example};
use sim_core::procedure::{Control, ModelOptions, Settings};
use std::hint::black_box;

/// The 36 m boom with return: 72 tips.
fn boom_of_36_m(c: &mut Criterion) {
    let built = build(&example(6, 12, Feed::OuterEnd, true));
    let liquid = water(15.0);
    let settings = Settings::of(&built.plumbing);
    let options = ModelOptions::default();
    c.bench_function("36 m boom, first solve", |b| {
        b.iter(|| {
            let mut solver = Solver::new(&built.plumbing, &liquid, options);
            black_box(solver.solve(&settings, &[Control::pressure(&built, 3e5).unwrap()]))
        });
    });
    let mut solver = Solver::new(&built.plumbing, &liquid, options);
    c.bench_function("36 m boom, cold solve", |b| {
        b.iter(|| {
            solver.forget();
            black_box(solver.solve(&settings, &[Control::pressure(&built, 3e5).unwrap()]))
        });
    });
    let mut high = false;
    c.bench_function("36 m boom, warm solve after 1 % of pressure", |b| {
        b.iter(|| {
            high = !high;
            let pa = if high { 3.03e5 } else { 3e5 };
            black_box(solver.solve(&settings, &[Control::pressure(&built, pa).unwrap()]))
        });
    });
}

/// First solves from 200 to 20 000 tips: cost must stay linear.
fn size(c: &mut Criterion) {
    let liquid = water(15.0);
    let mut group = c.benchmark_group("first solve by number of tips");
    group.sample_size(20);
    for sections in [20, 200, 2000] {
        let built = build(&example(sections, 10, Feed::OuterEnd, true));
        let settings = Settings::of(&built.plumbing);
        let tips = built.plumbing.tips.len();
        group.bench_function(BenchmarkId::from_parameter(tips), |b| {
            b.iter(|| {
                let mut solver = Solver::new(&built.plumbing, &liquid, ModelOptions::default());
                black_box(solver.solve(&settings, &[Control::pressure(&built, 3e5).unwrap()]))
            });
        });
    }
    group.finish();
}

/// Building and checking a machine.
fn building(c: &mut Criterion) {
    let design = example(2000, 10, Feed::OuterEnd, true);
    c.bench_function("build a boom of 20 000 tips", |b| b.iter(|| black_box(build(&design))));
}

criterion_group!(benches, boom_of_36_m, size, building);
criterion_main!(benches);
