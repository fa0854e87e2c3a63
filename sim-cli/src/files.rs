//! Reading what a scenario needs from the disk.

use crate::failure::Failure;
use crate::results::Loaded;
use sim_core::scenario::{Files, read};
use std::io::ErrorKind;
use std::path::Path;

/// Largest file read, bytes.
const LARGEST: u64 = 64 * 1024 * 1024;

/// Files beside a scenario.
struct Beside<'a> {
    folder: &'a Path,
}

impl Files for Beside<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        text(&self.folder.join(path))
    }
}

/// Reads and checks the scenario at `path`.
pub(crate) fn load(path: &Path) -> Result<Loaded, Failure> {
    let cannot = |why| Failure::Input(format!("{} cannot be read: {why}", path.display()));
    read_again(path, text(path).map_err(cannot)?)
}

/// Checks `text` as if the file at `path` held it.
pub(crate) fn read_again(path: &Path, text: String) -> Result<Loaded, Failure> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let path = path.to_path_buf();
    match read(&text, &Beside { folder }) {
        Ok(scenario) => Ok(Loaded { path, text, scenario }),
        Err(faults) => Err(Failure::Faults { path, text, faults }),
    }
}

/// The text of a file, or why there is none, in words.
pub(crate) fn text(path: &Path) -> Result<String, String> {
    let say = |error: std::io::Error| match error.kind() {
        ErrorKind::NotFound => "there is no such file".to_owned(),
        ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        _ => error.to_string(),
    };
    let about = std::fs::metadata(path).map_err(say)?;
    if about.is_dir() {
        return Err("it is a folder, not a file".into());
    }
    if about.len() > LARGEST {
        return Err(format!("it is larger than {} MiB", LARGEST / 1024 / 1024));
    }
    let bytes = std::fs::read(path).map_err(say)?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = 1 + error.as_bytes()[..at].iter().filter(|byte| **byte == b'\n').count();
        format!("it is not a text file in UTF-8 (line {line}, byte {at})")
    })
}
