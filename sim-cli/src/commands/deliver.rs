//! What a command leaves: files in a folder, and what it prints.

use crate::Streams;
use crate::columns::{accented, printable_lines, printable_path};
use crate::failure::Failure;
use crate::output::{self, Destination, OutputFile};
use serde::Serialize;
use std::path::Path;

/// The folder `out`, if there is one. What is there under the `names` of files that are always written must be ours.
pub(super) fn target<'a>(
    out: Option<&'a Path>,
    overwrite: bool,
    names: &[&str],
) -> Result<Option<Destination<'a>>, Failure> {
    let target = out.map(|folder| Destination { folder, overwrite });
    if let Some(target) = &target {
        target.allows(names).map_err(Failure::Input)?;
    }
    Ok(target)
}

/// Writes `files` into the `target`, if there is one; then prints `document` as JSON, if `json` is asked for, else
/// `text` and, if they are `named`, that the files were written.
pub(super) fn deliver(
    (target, json): (Option<Destination<'_>>, bool),
    (files, named): (&[OutputFile], Option<&str>),
    document: &impl Serialize,
    text: impl FnOnce(usize) -> String,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    if let Some(target) = target {
        target.write_set(files).map_err(Failure::Input)?;
    }
    print(json, document, text, streams)?;
    if let Some((target, named)) = target.filter(|_| !json).zip(named) {
        let folder = printable_path(target.folder);
        writeln!(streams.out, "Written into {folder}: {named}.")?;
    }
    Ok(())
}

/// Prints `document` as JSON, if `json` is asked for, else `text`, which is given the columns that a line may take.
pub(super) fn print(
    json: bool,
    document: &impl Serialize,
    text: impl FnOnce(usize) -> String,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let text = match (json, streams.accent) {
        (true, _) => output::json(document),
        (false, false) => printable_lines(&text(streams.width)),
        (false, true) => accented(&printable_lines(&text(streams.width))),
    };
    Ok(streams.out.write_all(text.as_bytes())?)
}

/// Folder and name of the one file `path`, which nothing of somebody else's must be in the place of.
pub(super) fn place_of(path: &Path, overwrite: bool) -> Result<(Destination<'_>, String), Failure> {
    let Some(name) = path.file_name() else {
        return Err(Failure::Input(format!("{} is no name of a file", printable_path(path))));
    };
    let name = name.to_string_lossy().into_owned();
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let target = Destination { folder: folder.unwrap_or(Path::new(".")), overwrite };
    target.allows(&[&name]).map_err(Failure::Input)?;
    Ok((target, name))
}
