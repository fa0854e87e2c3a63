//! How far the figures of a run may be off: on one screen, in full, and as files.

mod document;
mod reference;
mod screen;
mod tables;

pub(crate) use document::{UncertaintyDocument, draws_csv};
pub(crate) use reference::reference;
pub(crate) use screen::screen;
pub(crate) use tables::full;
