//! Times of runs through time: `cargo bench -p sim-cli --bench through_time`.

#![allow(clippy::unwrap_used, reason = "a bench may stop")]

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use sim_core::plumbing::boom::{Feed, build, example};
use sim_core::procedure::Step;
use sim_core::scenario::{Files, Scenario, read};
use sim_core::simulation::run;
use std::hint::black_box;
use std::path::Path;

struct Beside(&'static Path);

impl Files for Beside {
    fn read(&self, path: &str) -> Result<String, String> {
        std::fs::read_to_string(self.0.join(path)).map_err(|error| error.to_string())
    }
}

/// The shipped scenario `name`, its text changed by `change`.
fn scenario(name: &str, change: impl Fn(String) -> String) -> Scenario {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../scenarios"));
    let text = std::fs::read_to_string(folder.join(name)).unwrap();
    read(&change(text), &Beside(folder)).unwrap()
}

fn shipped(c: &mut Criterion) {
    let whole_two_minutes = |text: String| {
        let until_here = text.split("[[step]]\nname = \"spray\"").next().unwrap().to_owned();
        until_here.replace("for = \"45 s\"", "for = \"2 min\"")
    };
    let circulating = scenario("heron-36m-prime-one-end.toml", whole_two_minutes);
    let mut group = c.benchmark_group("through time");
    group.sample_size(20);
    group.bench_function("36 m boom, two minutes of circulating", |b| {
        b.iter(|| black_box(run(&circulating.machine, &circulating.course)));
    });
    let hour = scenario("heron-36m-field-hour.toml", |text| text);
    group.bench_function("36 m boom, an hour of field work", |b| {
        b.iter(|| black_box(run(&hour.machine, &hour.course)))
    });
    let once = |text: String| {
        text.replace("for = \"45 s\"", "for = \"90 s\"").replace("repeat = { times = 2 }", "")
    };
    let purge = scenario("heron-36m-purge-one-at-a-time.toml", once);
    group.bench_function("36 m boom, 90 s of purging, six sections one at a time", |b| {
        b.iter(|| black_box(run(&purge.machine, &purge.course)));
    });
    let fill = scenario("heron-36m-fill-empty.toml", |text| text);
    group.bench_function("36 m boom, filled from empty and sprayed", |b| {
        b.iter(|| black_box(run(&fill.machine, &fill.course)));
    });
    group.finish();
}

/// Ten seconds of priming by booms of more and more sections, their pumps as much larger.
fn more_tips(c: &mut Criterion) {
    let mut group = c.benchmark_group("ten seconds of priming, tips");
    group.sample_size(10);
    for sections in [6, 60, 420] {
        let ten_seconds = |text: String| text.replace("for = \"3 min\"", "for = \"10 s\"");
        let mut boom = scenario("heron-36m-prime-centre.toml", ten_seconds);
        boom.machine = build(&example(sections, 12, Feed::Centre, false));
        boom.course.steps = vec![Step::prime(&boom.machine).ramp(0.2).lasts(10.0)];
        assert!(run(&boom.machine, &boom.course).is_ok());
        group.bench_function(BenchmarkId::from_parameter(12 * sections), |b| {
            b.iter(|| black_box(run(&boom.machine, &boom.course)));
        });
    }
    group.finish();
}

criterion_group!(benches, shipped, more_tips);
criterion_main!(benches);
