//! What commands print and write: each command is run once, for all checks that read it.

use checks::command::{Printed, files, typed};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, OnceLock};

/// What a command printed, and every file that it wrote into `out`.
pub(crate) struct Outcome {
    pub(crate) printed: Printed,
    pub(crate) files: BTreeMap<String, Vec<u8>>,
}

impl Outcome {
    /// Runs the command line `line`; what it writes goes into `place`.
    pub(crate) fn of(line: &str, place: &Path) -> Self {
        let printed = typed(line, place);
        let out = place.join("out");
        Self { printed, files: if out.is_dir() { contents(&out) } else { BTreeMap::new() } }
    }

    /// The file called `name`.
    ///
    /// # Panics
    /// Where the command wrote none, or no text.
    pub(crate) fn text(&self, name: &str) -> &str {
        let bytes = self.files.get(name).unwrap_or_else(|| panic!("no {name}"));
        std::str::from_utf8(bytes).unwrap()
    }

    /// The summary of a run.
    pub(crate) fn summary(&self) -> serde_json::Value {
        serde_json::from_str(self.text("summary.json")).unwrap()
    }
}

type Kept = Arc<OnceLock<Outcome>>;
static KEPT: Mutex<BTreeMap<String, Kept>> = Mutex::new(BTreeMap::new());

/// Reads the outcome of the command line `line`, as typed in the folder of the repository into an empty place, with `look`.
pub(crate) fn with<T>(line: &str, look: impl FnOnce(&Outcome) -> T) -> T {
    let line = line.split(" > ").next().unwrap();
    let kept = KEPT.lock().unwrap().entry(line.to_owned()).or_default().clone();
    look(kept.get_or_init(|| Outcome::of(line, tempfile::tempdir().unwrap().path())))
}

/// Every file of a folder with its bytes.
pub(crate) fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read(path).unwrap())
        })
        .collect()
}

/// Calls `look` with every shipped scenario and the outcome of its run into a folder.
pub(crate) fn each_shipped(mut look: impl FnMut(&Path, &Outcome)) {
    each_shipped_with("--out out", &mut look);
}

/// As [`each_shipped`], run with `options`.
pub(crate) fn each_shipped_with(options: &str, mut look: impl FnMut(&Path, &Outcome)) {
    let shipped = files("scenarios", ".toml");
    let line = |path: &PathBuf| {
        format!(
            "millstream run scenarios/{} {options}",
            path.file_name().unwrap().to_string_lossy()
        )
    };
    let next = AtomicUsize::new(0);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                while let Some(path) = shipped.get(next.fetch_add(1, Ordering::Relaxed)) {
                    with(&line(path), |_| ());
                }
            });
        }
    });
    shipped.iter().for_each(|path| with(&line(path), |outcome| look(path, outcome)));
}
