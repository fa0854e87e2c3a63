//! Putting files in place: all of them whole, or none.

use std::io;
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
}

/// Writes `files` into `folder`, which is made if need be. They are first written into a folder of
/// their own beside their places, so that a full disk leaves the old files as they were.
pub(crate) fn write_all(folder: &Path, files: &[OutputFile]) -> Result<(), String> {
    let cannot = |error: io::Error| {
        let why = match error.kind() {
            io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
            io::ErrorKind::StorageFull => "the disk is full".to_owned(),
            io::ErrorKind::AlreadyExists | io::ErrorKind::NotADirectory => {
                "something that is no folder stands in its place".to_owned()
            }
            _ => error.to_string(),
        };
        format!("cannot write into {}: {why}", folder.display())
    };
    std::fs::create_dir_all(folder).map_err(cannot)?;
    let staging =
        tempfile::Builder::new().prefix(".unfinished-").tempdir_in(folder).map_err(cannot)?;
    for file in files {
        std::fs::write(staging.path().join(&file.name), &file.bytes).map_err(cannot)?;
    }
    for file in files {
        std::fs::rename(staging.path().join(&file.name), folder.join(&file.name))
            .map_err(cannot)?;
    }
    staging.close().map_err(cannot)
}
