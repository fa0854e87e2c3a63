//! Entry point to files beside a scenario; the library itself opens none.

/// Reads files that a scenario names, by a path relative to the scenario's folder.
pub trait Files {
    /// The text of the file at `path`, or why it cannot be read, in words for the user.
    ///
    /// # Errors
    /// A sentence without a full stop, such as `no such file`.
    fn read(&self, path: &str) -> Result<String, String>;

    /// Whether messages may quote what is in the file at `path`, as they may where it lies in the scenario's folder. A
    /// scenario of somebody else's must not make the reader show what is in a file of his.
    fn may_quote(&self, _path: &str) -> bool {
        true
    }
}

/// No files, for a scenario that names none.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoFiles;

impl Files for NoFiles {
    fn read(&self, _: &str) -> Result<String, String> {
        Err("there are no files".into())
    }
}
