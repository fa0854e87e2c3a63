//! Running the command within the test's own process.

use crate::root;
use sim_cli::Streams;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// What a run printed, and its exit code.
#[derive(Debug)]
pub struct Printed {
    /// Exit code.
    pub code: u8,
    /// What went to standard output.
    pub out: String,
    /// What went to standard error.
    pub err: String,
}

/// Runs `millstream` with `args`.
pub fn millstream(args: &[&str]) -> Printed {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut streams = Streams::unwatched(&mut out, &mut err);
    let args = ["millstream"].iter().chain(args).map(OsString::from);
    let code = sim_cli::run(args, &mut streams);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    Printed { code, out: text(out), err: text(err) }
}

/// Runs the command line `line` as typed in the folder of the repository; what it writes goes into `place`, and paths
/// of either folder are left out of what it prints.
pub fn typed(line: &str, place: &Path) -> Printed {
    typed_between(line, &root(), place)
}

/// Runs the command line `line` as typed in `folder`, which has all that it reads and takes all that it writes; paths of that
/// folder are left out of what it prints.
pub fn typed_in(line: &str, folder: &Path) -> Printed {
    typed_between(line, folder, folder)
}

/// Runs `line` with what the repository has in `kept`, and what the reader makes in `place`.
fn typed_between(line: &str, kept: &Path, place: &Path) -> Printed {
    let command = line.split(" > ").next().unwrap();
    let within = |folder: &Path, arg: &str| folder.join(arg).to_string_lossy().into_owned();
    let made =
        |name: &str| name == "out" || [".toml", ".csv", ".html"].iter().any(|e| name.ends_with(e));
    let path = |arg: String| match arg.split('/').next() {
        Some("scenarios" | "demo-data" | "docs") => within(kept, &arg),
        Some(name) if made(name) => within(place, &arg),
        _ => arg,
    };
    let args: Vec<String> = words(command).into_iter().skip(1).map(path).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let mut printed = millstream(&args);
    for folder in [kept, place] {
        printed.out = printed.out.replace(&format!("{}/", folder.display()), "");
    }
    printed
}

/// Words of a command line, quotes taken off.
fn words(line: &str) -> Vec<String> {
    let quoted = line.split('"').enumerate();
    quoted
        .flat_map(|(i, piece)| match i % 2 {
            0 => piece.split_whitespace().map(str::to_owned).collect::<Vec<_>>(),
            _ => vec![piece.to_owned()],
        })
        .collect()
}

/// Paths of the files in `folder` of the repository that end in `ending`, sorted.
pub fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(root().join(folder)).unwrap();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.to_string_lossy().ends_with(ending));
    paths.sort();
    assert!(!paths.is_empty(), "no {ending} in {folder}");
    paths
}
