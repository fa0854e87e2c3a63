//! Reading whole files: regular ones alone, and no more of them than is bearable.

use std::fs::{File, metadata};
use std::io::{self, ErrorKind, Read as _};
use std::path::Path;

/// Largest file read, bytes.
const LARGEST: u64 = 64 * 1024 * 1024;

/// The text of a file, or why there is none, in words. A device or a pipe is not even opened: it may never end, or never
/// begin.
pub(crate) fn text(path: &Path) -> Result<String, String> {
    let bytes = bytes(path)?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = 1 + error.as_bytes()[..at].iter().filter(|byte| **byte == b'\n').count();
        format!("it is not a text file in UTF-8 (line {line}, byte {at})")
    })
}

/// What is in a file, or why that is not read, in words.
pub(crate) fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    let about = metadata(path).map_err(say)?;
    if about.is_dir() {
        return Err("it is a folder, not a file".into());
    }
    if !about.is_file() {
        return Err("it is a device or a pipe; only regular files are read".into());
    }
    // Counted as they come: a file may grow, or say nothing of its size.
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(say)?;
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(say)?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!("it is larger than {} MiB", LARGEST / 1024 / 1024));
    }
    Ok(bytes)
}

fn say(error: io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file".to_owned(),
        ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        _ => error.to_string(),
    }
}
