//! Time of a whole run with plots: `cargo bench -p sim-cli`.

use criterion::{Criterion, criterion_group, criterion_main};
use sim_cli::Streams;
use std::ffi::OsString;
use std::hint::black_box;

fn whole_run(c: &mut Criterion) {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/..");
    let scenario = format!("{root}/scenarios/heron-36m-one-end.toml");
    let out = std::env::temp_dir().join("millstream-bench");
    let args: Vec<OsString> =
        ["millstream".into(), "run".into(), scenario.into(), "--out".into(), out.into()].into();
    let mut group = c.benchmark_group("run a demo");
    group.sample_size(10);
    group.bench_function("three steps, tables and 22 pictures", |b| {
        b.iter(|| {
            let (mut out, mut err) = (Vec::new(), Vec::new());
            let mut streams = Streams::unwatched(&mut out, &mut err);
            black_box(sim_cli::run(args.clone(), &mut streams))
        });
    });
    group.finish();
}

criterion_group!(benches, whole_run);
criterion_main!(benches);
