//! Running the command within the test's own process.

pub(crate) use checks::root;
use sim_cli::Streams;
use std::ffi::OsString;
use std::path::PathBuf;

/// What a run printed, and its exit code.
#[derive(Debug)]
pub(crate) struct Printed {
    pub(crate) code: u8,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs `millstream` with `args`.
pub(crate) fn millstream(args: &[&str]) -> Printed {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut streams = Streams { out: &mut out, err: &mut err, colour: false, live: false };
    let args = ["millstream"].iter().chain(args).map(OsString::from);
    let code = sim_cli::run(args, &mut streams);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    Printed { code, out: text(out), err: text(err) }
}

/// Paths of the files in `folder` of the repository that end in `ending`, sorted.
pub(crate) fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(root().join(folder)).unwrap();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.to_string_lossy().ends_with(ending));
    paths.sort();
    assert!(!paths.is_empty(), "no {ending} in {folder}");
    paths
}
