//! Ctrl-C and a request to end: nothing half written stays behind.

use super::keeps::ask_to_end;
use crate::exit;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// How the names of folders of unfinished files begin.
pub(super) const UNFINISHED: &str = ".unfinished-";

/// What a command has on the disk at this moment.
#[derive(Debug)]
pub(super) struct UnderWay {
    /// Folders and files to take away, the innermost first, if it ends now.
    pub(super) unfinished: Vec<PathBuf>,
    /// Whether files were put in their places.
    pub(super) placed: bool,
}

static UNDER_WAY: Mutex<UnderWay> = Mutex::new(UnderWay { unfinished: Vec::new(), placed: false });

/// Whoever holds it is not interrupted.
pub(super) fn undisturbed() -> MutexGuard<'static, UnderWay> {
    UNDER_WAY.lock().unwrap_or_else(PoisonError::into_inner)
}

/// From now on Ctrl-C, or being asked to end, takes unfinished files away, says so in one line and ends the process.
pub(crate) fn install() {
    // Where no handler can be set, the system ends the process as it always does.
    let _ = ctrlc::set_handler(end);
}

#[expect(clippy::exit, reason = "a signal ends the process, from a thread of its own")]
fn end() {
    if ask_to_end() {
        let _ = writeln!(
            std::io::stderr(),
            "ending; what is found so far is kept. Ctrl-C again ends at once"
        );
        return;
    }
    // Kept to the end: nothing is written any more.
    let under_way = undisturbed();
    take_away(&under_way.unfinished);
    let said = if under_way.placed { "all files had been written" } else { "nothing was written" };
    let _ = writeln!(std::io::stderr(), "interrupted: {said}");
    std::process::exit(exit::INTERRUPTED.into());
}

/// Takes `paths` away: files, folders of unfinished files, and folders that are empty then.
pub(super) fn take_away(paths: &[PathBuf]) {
    let unfinished = |path: &Path| {
        let name = path.file_name().map(|name| name.to_string_lossy());
        name.is_some_and(|name| name.starts_with(UNFINISHED))
    };
    for path in paths {
        // What cannot be taken away stays: there is nobody left to tell.
        let _ = if unfinished(path) {
            std::fs::remove_dir_all(path)
        } else {
            std::fs::remove_dir(path)
        };
    }
}
