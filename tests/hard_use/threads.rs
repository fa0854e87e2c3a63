//! The same bytes on any number of threads.

use checks::targets::not_finite;
use checks::{put_beside_data, root};
use rayon::ThreadPoolBuilder;
use sim_cli::Streams;
use std::collections::BTreeMap;
use std::ffi::OsString;

/// What a command prints and writes.
type Told = (String, BTreeMap<String, Vec<u8>>);

/// What `args` print and write into a folder, if they do, on `threads` threads.
fn told(args: &[String], writes: bool, threads: usize) -> Told {
    let place = tempfile::tempdir().unwrap();
    let mut args = args.to_vec();
    if writes {
        args.extend(["--out".into(), place.path().to_string_lossy().into_owned()]);
    }
    let pool = ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
    let printed = pool.install(|| {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let mut streams = Streams::unwatched(&mut out, &mut err);
        let args = std::iter::once("millstream").chain(args.iter().map(String::as_str));
        let code = sim_cli::run(args.map(OsString::from), &mut streams);
        assert_eq!((code, err), (0, Vec::new()));
        String::from_utf8(out).unwrap()
    });
    let entries = std::fs::read_dir(place.path()).unwrap().map(|entry| entry.unwrap().path());
    let files = entries.map(|path| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        (name, std::fs::read(path).unwrap())
    });
    // Only where it was written differs.
    (printed.replace(&*place.path().to_string_lossy(), "FOLDER"), files.collect())
}

/// Compares what `args` tell on 1, 2 and 7 threads; every number of it is one.
fn tells_the_same(args: &[&str], writes: bool) {
    let args: Vec<String> = args.iter().map(|arg| (*arg).to_owned()).collect();
    let (printed, files) = told(&args, writes, 1);
    assert!(!printed.is_empty() && writes != files.is_empty());
    for (name, bytes) in files.iter().filter(|(name, _)| !name.ends_with(".png")) {
        assert_eq!(not_finite(name, &String::from_utf8_lossy(bytes)), None, "{name}");
    }
    for threads in [2, 7] {
        let (again, other) = told(&args, writes, threads);
        assert_eq!(printed, again, "{threads} threads");
        for (name, bytes) in &files {
            assert!(Some(bytes) == other.get(name), "{name} on {threads} threads");
        }
        assert_eq!(files.len(), other.len());
    }
}

fn shipped(path: &str) -> String {
    root().join(path).to_string_lossy().into_owned()
}

#[test]
fn a_run_writes_the_same_on_any_number_of_threads() {
    tells_the_same(&["run", &shipped("scenarios/heron-36m-prime-one-end.toml")], true);
}

#[test]
fn a_comparison_over_values_writes_the_same_on_any_number_of_threads() {
    let scenario = shipped("scenarios/larkfield-12m.toml");
    let vary = "boom.tube.bore=10 mm,12.7 mm,15 mm,19 mm,25 mm";
    tells_the_same(&["compare", &scenario, "--vary", vary], true);
}

#[test]
fn a_diagnosis_writes_the_same_on_any_number_of_threads() {
    let scenario = shipped("scenarios/larkfield-12m.toml");
    let readings = shipped("demo-data/readings/larkfield-middle-heavy.csv");
    tells_the_same(&["diagnose", &scenario, &readings], true);
}

#[test]
fn orders_of_a_purge_are_the_same_on_any_number_of_threads() {
    let place = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(shipped("scenarios/heron-36m-purge-together.toml")).unwrap();
    let short = text.replace("for = \"90 s\"", "for = \"2 s\"");
    assert_ne!(short, text);
    let path = put_beside_data(&short, place.path());
    tells_the_same(&["orders", &path.to_string_lossy(), "--json"], false);
}
