//! Putting files in place: all of them whole, or none, whatever else runs and whenever it is interrupted.

mod interrupt;
mod keeps;
mod place;
mod sets;

pub(crate) use interrupt::install;
pub(crate) use keeps::KeepsFound;

use crate::columns::printable_path;
use crate::digest::sha256;
use crate::regular;
use place::OutputFolder;
use serde::Serialize;
use sets::WrittenFile;
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

    fn as_written(&self) -> WrittenFile {
        WrittenFile { name: self.name.clone(), sha256: sha256(&self.bytes) }
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

/// A folder that files are to be put into.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Destination<'a> {
    pub(crate) folder: &'a Path,
    /// Whether files that Millstream did not write, or that have been changed since, may be replaced.
    pub(crate) overwrite: bool,
}

impl Destination<'_> {
    /// Whether files called `names` may be put there as the folder is now: asked before work that would be lost.
    pub(crate) fn allows(&self, names: &[&str]) -> Result<(), String> {
        let _lock = place::locked(self.folder);
        self.only_ours(&self.listed(), names).map_err(|why| self.cannot(&why))
    }

    /// Writes `files` into the folder, which is made if need be, in place of the set that an earlier command left there.
    /// What that set had and this one has not is taken away: no folder shows files of two runs as one.
    pub(crate) fn write_set(&self, files: &[OutputFile]) -> Result<(), String> {
        self.put(|place| {
            let written = files.iter().map(OutputFile::as_written).collect::<Vec<_>>();
            let old = self.listed();
            let (list, gone) = sets::with(&old, &written);
            let names = written.iter().map(|file| &file.name).chain(&gone);
            self.only_ours(&old, &names.map(String::as_str).collect::<Vec<_>>())?;
            files.iter().try_for_each(|file| place.stage(&file.name, &file.bytes)).map_err(why)?;
            place.stage(sets::LIST, list.as_bytes()).map_err(why)?;
            place.exchange(&gone).map_err(why)
        })
    }

    /// Writes `file` into the folder beside whatever else is there.
    pub(crate) fn write_one(&self, file: &OutputFile) -> Result<(), String> {
        self.put(|place| {
            self.only_ours(&self.listed(), &[&file.name])?;
            place.stage(&file.name, &file.bytes).map_err(why)?;
            place.exchange(&[]).map_err(why)
        })
    }

    /// Files are first written into a folder of their own beside their places, so that a full disk leaves the old ones as
    /// they were; then all change places at once.
    fn put(
        &self,
        fill: impl FnOnce(&mut OutputFolder) -> Result<(), String>,
    ) -> Result<(), String> {
        let mut place =
            OutputFolder::prepare(self.folder).map_err(|error| self.cannot(&why(error)))?;
        let outcome = fill(&mut place);
        if outcome.is_err() {
            place.leave_as_found();
        }
        outcome.map_err(|why| self.cannot(&why))
    }

    fn cannot(&self, why: &str) -> String {
        format!("cannot write into {}: {why}", printable_path(self.folder))
    }

    /// The sets of files that were put into the folder.
    fn listed(&self) -> Vec<Vec<WrittenFile>> {
        sets::parse(&regular::text(&self.folder.join(sets::LIST)).unwrap_or_default())
    }

    /// A refusal where one of `names` is the name of a file that is not as a set of `listed` left it.
    fn only_ours(&self, listed: &[Vec<WrittenFile>], names: &[&str]) -> Result<(), String> {
        for name in names.iter().filter(|_| !self.overwrite) {
            let path = self.folder.join(name);
            let ours = || {
                let known = listed.iter().flatten().find(|file| file.name == *name);
                let now = regular::bytes(&path).map(|bytes| sha256(&bytes));
                known.is_some_and(|file| now.is_ok_and(|now| now == file.sha256))
            };
            // A folder of that name is refused by what would replace it.
            if path.symlink_metadata().is_ok_and(|about| !about.is_dir()) && !ours() {
                return Err(format!(
                    "{name} is there, and millstream did not write it, or it was changed since\n\
                     help: name another folder, or replace it with --overwrite"
                ));
            }
        }
        Ok(())
    }
}

fn why(error: io::Error) -> String {
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
