//! A page of the guide played as its reader plays it: commands in their order in a fresh copy of the repository, edits of files
//! between them.

use crate::command::{Printed, typed_in};
use crate::root;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Opens the comment that names the file of an edit.
const EDIT: &str = "<!-- edit: ";

/// What a reader does next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Deed {
    /// Types this command line.
    Types(String),
    /// Replaces a line of a file.
    Edits {
        /// The file.
        file: String,
        /// The line as it is.
        from: String,
        /// The line as it is to be.
        to: String,
    },
}

/// What the reader of `page` does, in order.
///
/// # Panics
/// Where a line that an edit takes away has none that replaces it.
pub fn deeds(page: &str) -> Vec<Deed> {
    let (mut deeds, mut lines) = (Vec::new(), page.lines());
    while let Some(line) = lines.next() {
        if let Some(command) = line.strip_prefix("$ ") {
            deeds.push(Deed::Types(command.to_owned()));
        }
        let Some(file) = line.strip_prefix(EDIT).and_then(|rest| rest.strip_suffix(" -->")) else {
            continue;
        };
        let changes: Vec<&str> = lines.by_ref().skip(1).take_while(|line| *line != "```").collect();
        deeds.extend(changes.chunks(2).map(|pair| match pair {
            [from, to] if from.starts_with('-') && to.starts_with('+') => {
                Deed::Edits { file: file.into(), from: from[1..].into(), to: to[1..].into() }
            }
            _ => panic!("{file}: {pair:?} is no line and its replacement"),
        }));
    }
    deeds
}

/// A fresh copy of the repository in which somebody works.
#[derive(Debug)]
pub struct Desk(tempfile::TempDir);

impl Desk {
    /// Every file that the repository keeps, as it is now; `None`, with a word why, where that cannot be asked.
    ///
    /// # Panics
    /// Where a file cannot be copied.
    pub fn new() -> Option<Self> {
        let listed = Command::new("git").arg("-C").arg(root()).args(["ls-files", "-z"]).output();
        let Some(listed) = listed.ok().filter(|listed| listed.status.success()) else {
            eprintln!("skipped: git does not say which files the repository keeps");
            return None;
        };
        let folder = tempfile::tempdir().unwrap();
        let names = String::from_utf8(listed.stdout).unwrap();
        // What a build alone reads is of no use without one.
        let of_use = |name: &&str| ["scenarios/", "demo-data/"].iter().any(|f| name.starts_with(f));
        for name in names.split('\0').filter(of_use).filter(|name| root().join(name).is_file()) {
            let to = folder.path().join(name);
            std::fs::create_dir_all(to.parent().unwrap()).unwrap();
            std::fs::copy(root().join(name), to).unwrap();
        }
        Some(Self(folder))
    }

    /// Where it is.
    pub fn folder(&self) -> &Path {
        self.0.path()
    }

    /// Types the command line `line`; what it prints goes into the file after `>`, if there is one.
    ///
    /// # Panics
    /// Where it does not end well.
    pub fn types(&self, line: &str) -> Printed {
        let printed = typed_in(line, self.folder());
        assert_eq!(printed.code, 0, "{line}: {}", printed.err);
        if let Some((_, file)) = line.split_once(" > ") {
            std::fs::write(self.folder().join(file), &printed.out).unwrap();
        }
        printed
    }

    /// Replaces the line `from` of `file`, which is there once, by `to`.
    ///
    /// # Panics
    /// Where it is not.
    pub fn edits(&self, file: &str, from: &str, to: &str) {
        let path = self.folder().join(file);
        let text = std::fs::read_to_string(&path).unwrap();
        let times = text.lines().filter(|line| *line == from).count();
        assert_eq!(times, 1, "{file} has {times} lines {from:?}");
        let lines = text.lines().map(|line| if line == from { to } else { line });
        std::fs::write(path, lines.flat_map(|line| [line, "\n"]).collect::<String>()).unwrap();
    }

    /// Every file written into its folder `out`, sorted.
    pub fn written(&self) -> Vec<PathBuf> {
        let (mut files, mut folders) = (Vec::new(), vec![self.folder().join("out")]);
        // Nothing is written before the first command that is to.
        folders.retain(|out| out.is_dir());
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
                if entry.is_dir() { &mut folders } else { &mut files }.push(entry);
            }
        }
        files.sort();
        files
    }
}
