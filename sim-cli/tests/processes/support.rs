//! The command as a process, and the folder it writes into.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// A scenario of the repository.
pub(crate) fn scenario(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios").join(name)
}

/// `millstream run` of `scenario` into `out`, not yet started.
pub(crate) fn run(scenario: &Path, out: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_millstream"));
    command.arg("run").arg(scenario).arg("--out").arg(out);
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// What a process said as it failed.
pub(crate) fn message(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Every file of a folder, hidden ones too, with its bytes; nothing where there is no folder.
pub(crate) fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let Ok(entries) = std::fs::read_dir(folder) else { return BTreeMap::new() };
    let file = |path: PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let bytes =
            if path.is_dir() { b"a folder".to_vec() } else { std::fs::read(&path).unwrap() };
        (name, bytes)
    };
    entries.map(|entry| file(entry.unwrap().path())).collect()
}

/// What `millstream run` of `scenario` leaves in a folder of its own.
pub(crate) fn whole(scenario: &Path) -> BTreeMap<String, Vec<u8>> {
    let place = tempfile::tempdir().unwrap();
    let out = place.path().join("out");
    let output = run(scenario, &out).output().unwrap();
    assert!(output.status.success(), "{}", message(&output));
    let files = contents(&out);
    assert!(files.len() > 5);
    files
}
