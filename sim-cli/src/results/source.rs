//! What was run, by what: the head of every file.

use super::Loaded;
use crate::digest::sha256;
use schemars::JsonSchema;
use serde::Serialize;

/// Name and version of the program.
pub(crate) const PROGRAM: &str = concat!("millstream ", env!("CARGO_PKG_VERSION"));

/// What was run.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub(crate) struct Source {
    /// Its title.
    title: String,
    /// Its file name, without folders.
    pub(crate) file: String,
    /// SHA-256 of the file's text.
    pub(crate) sha256: String,
}

impl Source {
    /// The file and the text of what was loaded.
    pub(crate) fn of(loaded: &Loaded) -> Self {
        let file = loaded.path.file_name().map(|name| name.to_string_lossy().into_owned());
        Self {
            title: loaded.scenario.title.clone(),
            file: file.unwrap_or_default(),
            sha256: sha256(loaded.text.as_bytes()),
        }
    }
}
