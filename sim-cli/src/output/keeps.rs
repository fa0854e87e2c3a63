//! Ctrl-C that ends a search early and keeps what it found.

use std::sync::atomic::{AtomicBool, Ordering};

/// Whether what is found so far is kept.
static KEEPS: AtomicBool = AtomicBool::new(false);
/// Whether it is to end.
static ASKED: AtomicBool = AtomicBool::new(false);

/// As long as it lives, the first Ctrl-C asks for an early end instead of ending the process.
pub(crate) struct KeepsFound;

impl KeepsFound {
    pub(crate) fn begin() -> Self {
        ASKED.store(false, Ordering::SeqCst);
        KEEPS.store(true, Ordering::SeqCst);
        Self
    }

    /// Whether an early end was asked for.
    pub(crate) fn is_asked_to_end(&self) -> bool {
        ASKED.load(Ordering::SeqCst)
    }
}

impl Drop for KeepsFound {
    fn drop(&mut self) {
        KEEPS.store(false, Ordering::SeqCst);
    }
}

/// Asks for an early end; false where nothing is kept, or it was asked for before.
pub(super) fn ask_to_end() -> bool {
    KEEPS.load(Ordering::SeqCst) && !ASKED.swap(true, Ordering::SeqCst)
}
