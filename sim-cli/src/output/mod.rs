//! Putting files in place: all of them whole, or none, whatever else runs and whenever it is interrupted.

mod interrupt;
mod place;
mod sets;

pub(crate) use interrupt::install;

use place::Place;
use serde::Serialize;
use std::io::{self, ErrorKind};
use std::path::Path;

/// A file to write.
#[derive(Debug)]
pub(crate) struct OutputFile {
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

impl OutputFile {
    /// A text file.
    pub(crate) fn text(name: impl Into<String>, text: String) -> Self {
        Self { name: name.into(), bytes: text.into_bytes() }
    }

    /// A file of JSON.
    pub(crate) fn json(name: impl Into<String>, document: &impl Serialize) -> Self {
        Self::text(name, json(document))
    }
}

/// `document` as lines of JSON. Only for what always serialises: plain structs of text and finite numbers.
pub(crate) fn json(document: &impl Serialize) -> String {
    serde_json::to_string_pretty(document).unwrap_or_default() + "\n"
}

/// Writes `files` into `folder`, which is made if need be, in place of the set that an earlier command left there.
/// What that set had and this one has not is taken away: no folder shows files of two runs as one.
pub(crate) fn write_set(folder: &Path, files: &[OutputFile]) -> Result<(), String> {
    put(folder, files, true)
}

/// Writes `file` into `folder` beside whatever else is there.
pub(crate) fn write_one(folder: &Path, file: OutputFile) -> Result<(), String> {
    put(folder, &[file], false)
}

fn put(folder: &Path, files: &[OutputFile], as_set: bool) -> Result<(), String> {
    let cannot =
        |error: io::Error| format!("cannot write into {}: {}", folder.display(), why(&error));
    let mut place = Place::prepare(folder).map_err(cannot)?;
    let outcome = fill(&mut place, files, as_set).map_err(cannot);
    if outcome.is_err() {
        place.leave_as_found();
    }
    outcome
}

/// Files are first written into a folder of their own beside their places, so that a full disk leaves the old ones as
/// they were; then all change places at once.
fn fill(place: &mut Place, files: &[OutputFile], as_set: bool) -> io::Result<()> {
    for file in files {
        place.stage(&file.name, &file.bytes)?;
    }
    let mut gone = Vec::new();
    if as_set {
        let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
        let (list, left_over) = sets::with(&place.read(sets::LIST), &names);
        place.stage(sets::LIST, list.as_bytes())?;
        gone = left_over;
    }
    place.exchange(&gone)
}

fn why(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            "permission is denied".into()
        }
        ErrorKind::StorageFull => "the disk is full".into(),
        ErrorKind::QuotaExceeded => "the quota of the disk is used up".into(),
        ErrorKind::FileTooLarge => "a file would be larger than is allowed here".into(),
        ErrorKind::AlreadyExists | ErrorKind::NotADirectory => {
            "something that is no folder is in its place".into()
        }
        ErrorKind::IsADirectory => "a folder is where a file belongs".into(),
        _ => error.to_string(),
    }
}
