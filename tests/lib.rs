//! Shared helpers of the checks.

pub mod command;
pub mod played;
pub mod schema;
pub mod targets;

use sim_core::scenario::{Files, Scenario, read};
use std::path::{Path, PathBuf};

/// Files beside a scenario, in this folder.
#[derive(Debug)]
pub struct Beside<'a>(pub &'a Path);

impl Files for Beside<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        std::fs::read_to_string(self.0.join(path)).map_err(|error| error.to_string())
    }
}

/// The valid scenario at `path`.
///
/// # Errors
/// Says why it cannot be read, or what is wrong with it.
pub fn scenario(path: &Path) -> Result<Scenario, String> {
    let cannot = |error| format!("{}: {error}", path.display());
    let text = std::fs::read_to_string(path).map_err(cannot)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    read(&text, &Beside(folder)).map_err(|faults| format!("{}: {faults:#?}", path.display()))
}

/// The folder of the repository.
pub fn root() -> PathBuf {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    tests.parent().unwrap_or(tests).to_path_buf()
}

/// Writes `text` as a scenario into `folder`, beside copies of the files that shipped scenarios name; returns its path.
///
/// # Panics
/// Where it cannot be written.
pub fn put_beside_data(text: &str, folder: &Path) -> PathBuf {
    for kind in ["pumps", "liquids"] {
        std::fs::create_dir_all(folder.join(kind)).unwrap();
        for entry in std::fs::read_dir(root().join("scenarios").join(kind)).unwrap() {
            let entry = entry.unwrap();
            std::fs::copy(entry.path(), folder.join(kind).join(entry.file_name())).unwrap();
        }
    }
    let path = folder.join("changed.toml");
    std::fs::write(&path, text).unwrap();
    path
}

/// Compares `text` with the file at `path`; rewrites it where MILLSTREAM_REWRITE is set.
///
/// # Errors
/// Says which file differs, with the text as it is now.
pub fn matches_file(text: &str, path: &Path) -> Result<(), String> {
    let differs = |error| format!("{error}; what the program gives now:\n{text}");
    matches_bytes(text.as_bytes(), path).map_err(differs)
}

/// Compares `bytes` with the file at `path`; rewrites it where MILLSTREAM_REWRITE is set.
///
/// # Errors
/// Says which file differs.
pub fn matches_bytes(bytes: &[u8], path: &Path) -> Result<(), String> {
    if std::env::var_os("MILLSTREAM_REWRITE").is_some() {
        let write = || {
            path.parent().map_or(Ok(()), std::fs::create_dir_all)?;
            std::fs::write(path, bytes)
        };
        write().map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
    }
    if std::fs::read(path).is_ok_and(|shipped| shipped == bytes) {
        return Ok(());
    }
    Err(format!("{} differs", path.display()))
}
