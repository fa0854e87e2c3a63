//! A folder under new files: what it was before, and the way back to that.

use super::interrupt::{UNFINISHED, take_away, undisturbed};
use std::fs::{self, File};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// A lock of `folder` that other runs wait for; where the system knows none, they go on without.
pub(super) fn locked(folder: &Path) -> Option<File> {
    let file = folder.is_dir().then(|| File::open(folder).ok()).flatten();
    file.filter(|folder| folder.lock().is_ok())
}

/// A folder that files are put into.
#[derive(Debug)]
pub(super) struct OutputFolder {
    folder: PathBuf,
    staging: PathBuf,
    staged: Vec<String>,
    /// Keeps other runs from putting files into the folder at the same time.
    _lock: Option<File>,
}

impl OutputFolder {
    /// Makes `folder` ready; waits while another run puts its files there.
    pub(super) fn prepare(folder: &Path) -> io::Result<Self> {
        let mut under_way = undisturbed();
        let missing = folder.ancestors().take_while(|path| !path.as_os_str().is_empty());
        under_way.unfinished =
            missing.take_while(|path| !path.exists()).map(PathBuf::from).collect();
        under_way.placed = false;
        let made = fs::create_dir_all(folder).and_then(|()| {
            tempfile::Builder::new().prefix(UNFINISHED).disable_cleanup(true).tempdir_in(folder)
        });
        let staging = match made {
            Ok(staging) => staging.keep(),
            Err(error) => {
                take_away(&under_way.unfinished);
                return Err(error);
            }
        };
        under_way.unfinished.insert(0, staging.clone());
        drop(under_way);
        Ok(Self { folder: folder.into(), staging, staged: Vec::new(), _lock: locked(folder) })
    }

    /// Writes a file where nobody looks yet.
    pub(super) fn stage(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let _undisturbed = undisturbed();
        fs::write(self.staging.join(name), bytes)?;
        self.staged.push(name.to_owned());
        Ok(())
    }

    /// Puts all that was staged in its place and takes the files called `gone` away; where that cannot be done,
    /// everything is as before.
    pub(super) fn exchange(&self, gone: &[String]) -> io::Result<()> {
        let mut under_way = undisturbed();
        let old = self.staging.join("old");
        fs::create_dir(&old)?;
        let mut moved: Vec<(PathBuf, PathBuf)> = Vec::new();
        let mut step = |from: PathBuf, to: PathBuf| -> io::Result<()> {
            fs::rename(&from, &to)?;
            moved.push((from, to));
            Ok(())
        };
        let mut all = || -> io::Result<()> {
            for name in self.staged.iter().chain(gone) {
                let present = self.folder.join(name);
                match fs::symlink_metadata(&present) {
                    Ok(about) if about.is_dir() => return Err(ErrorKind::IsADirectory.into()),
                    Ok(about) if about.is_file() || about.is_symlink() => {
                        step(present, old.join(name))?;
                    }
                    Ok(_) => {
                        return Err(io::Error::other("a device or a pipe is where a file belongs"));
                    }
                    Err(_) => {}
                }
            }
            for name in &self.staged {
                step(self.staging.join(name), self.folder.join(name))?;
            }
            Ok(())
        };
        if let Err(error) = all() {
            for (from, to) in moved.iter().rev() {
                // The way back of a move that has just succeeded.
                let _ = fs::rename(to, from);
            }
            return Err(error);
        }
        take_away(std::slice::from_ref(&self.staging));
        under_way.unfinished.clear();
        under_way.placed = true;
        Ok(())
    }

    /// Takes away what was made.
    pub(super) fn leave_as_found(&self) {
        let mut under_way = undisturbed();
        take_away(&under_way.unfinished);
        under_way.unfinished.clear();
    }
}
