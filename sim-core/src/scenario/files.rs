//! Entry point to files beside a scenario; the library itself opens none.

/// Reads files that a scenario names, by a path relative to the scenario's folder.
pub trait Files {
    /// The text of the file at `path`, or why it cannot be read, in words for the user.
    ///
    /// # Errors
    /// A sentence without a full stop, such as `no such file`.
    fn read(&self, path: &str) -> Result<String, String>;
}

/// No files, for a scenario that names none.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoFiles;

impl Files for NoFiles {
    fn read(&self, _: &str) -> Result<String, String> {
        Err("there are no files".into())
    }
}
