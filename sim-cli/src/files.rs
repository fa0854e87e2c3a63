//! Reading what a scenario needs from the disk.

use crate::columns::printable_path;
use crate::failure::Failure;
use crate::regular::text;
use crate::results::Loaded;
use sim_core::scenario::{Files, Noted, read_noting};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fs::canonicalize;
use std::path::{Component, Path};

/// Files that a scenario names.
struct BesideScenario<'a> {
    /// The scenario's folder.
    folder: &'a Path,
    /// Whether they may lie outside it.
    from_anywhere: bool,
}

impl BesideScenario<'_> {
    /// Whether the file at `path` lies in the scenario's folder or below it, wherever links lead.
    fn is_inside(&self, path: &str) -> bool {
        let here = if self.folder.as_os_str().is_empty() { Path::new(".") } else { self.folder };
        match (canonicalize(here), canonicalize(here.join(path))) {
            (Ok(here), Ok(file)) => file.starts_with(here),
            // There is no such file, and outside the folder not even that is for the scenario to know.
            _ => {
                let down = |piece| matches!(piece, Component::Normal(_) | Component::CurDir);
                Path::new(path).components().all(down)
            }
        }
    }
}

impl Files for BesideScenario<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        if self.from_anywhere || self.is_inside(path) {
            return text(&self.folder.join(path));
        }
        Err("it is outside the scenario's folder".into())
    }

    fn may_quote(&self, path: &str) -> bool {
        self.is_inside(path)
    }
}

/// Reads and checks the scenario at `path`; the files it names may lie outside its folder if `from_anywhere`.
pub(crate) fn load(path: &Path, from_anywhere: bool) -> Result<Loaded, Failure> {
    let cannot = |why| Failure::Input(format!("{} cannot be read: {why}", printable_path(path)));
    read_again(path, text(path).map_err(cannot)?, from_anywhere)
}

/// The same, with the files that it names, by the names that it gives them.
pub(crate) fn load_with_files(
    path: &Path,
    from_anywhere: bool,
) -> Result<(Loaded, BTreeMap<String, String>), Failure> {
    let loaded = load(path, from_anywhere)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let beside = BesideScenario { folder, from_anywhere };
    let kept = Kept { beside, texts: RefCell::default() };
    // Valid a moment ago: what it reads is what is wanted.
    let _ = read_noting(&loaded.text, &kept);
    Ok((loaded, kept.texts.into_inner()))
}

/// Files that are kept as they are read.
struct Kept<'a> {
    beside: BesideScenario<'a>,
    texts: RefCell<BTreeMap<String, String>>,
}

impl Files for Kept<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        let text = self.beside.read(path)?;
        self.texts.borrow_mut().insert(path.to_owned(), text.clone());
        Ok(text)
    }

    fn may_quote(&self, path: &str) -> bool {
        self.beside.may_quote(path)
    }
}

/// Checks `text` as if the file at `path` held it.
pub(crate) fn read_again(
    path: &Path,
    text: String,
    from_anywhere: bool,
) -> Result<Loaded, Failure> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let path = path.to_path_buf();
    match read_noting(&text, &BesideScenario { folder, from_anywhere }) {
        Ok(Noted { scenario, ignored, limits_at }) => {
            Ok(Loaded { path, text, scenario, ignored, limits_at })
        }
        Err(faults) => Err(Failure::Faults { path, text, faults }),
    }
}

/// Every file that what was `loaded` names, with its text.
pub(crate) fn named_files(loaded: &Loaded, from_anywhere: bool) -> Vec<(String, String)> {
    struct Noting<'a> {
        files: BesideScenario<'a>,
        read: std::cell::RefCell<Vec<(String, String)>>,
    }
    impl Files for Noting<'_> {
        fn read(&self, path: &str) -> Result<String, String> {
            let text = self.files.read(path)?;
            self.read.borrow_mut().push((path.to_owned(), text.clone()));
            Ok(text)
        }
    }
    let folder = loaded.path.parent().unwrap_or(Path::new(""));
    let noting =
        Noting { files: BesideScenario { folder, from_anywhere }, read: Default::default() };
    // It was read before: there is no fault.
    let _ = read_noting(&loaded.text, &noting);
    let mut read = noting.read.into_inner();
    read.sort();
    read.dedup();
    read
}
