//! What a command leaves: files in a folder, and what it prints.

use crate::Streams;
use crate::failure::Failure;
use crate::output::{self, OutputFile};
use serde::Serialize;
use std::path::PathBuf;

/// Writes `files` into the folder `out`, if there is one; then prints `document` as JSON, if `json` is asked for, else
/// `text` and that the `named` files were written.
pub(super) fn deliver(
    (out, json): (&Option<PathBuf>, bool),
    (files, named): (&[OutputFile], &str),
    document: &impl Serialize,
    text: impl FnOnce() -> String,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    if let Some(folder) = out {
        output::write_set(folder, files).map_err(Failure::Input)?;
    }
    print(json, document, text, streams)?;
    if let Some(folder) = out.as_ref().filter(|_| !json) {
        writeln!(streams.out, "Written into {}: {named}.", folder.display())?;
    }
    Ok(())
}

/// Prints `document` as JSON, if `json` is asked for, else `text`.
pub(super) fn print(
    json: bool,
    document: &impl Serialize,
    text: impl FnOnce() -> String,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let text = if json { output::json(document) } else { text() };
    Ok(streams.out.write_all(text.as_bytes())?)
}
