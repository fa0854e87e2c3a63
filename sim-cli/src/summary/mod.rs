//! `summary.json`: its text, its reference page and its schema.

mod document;
mod reference;

pub(crate) use document::Summary;
pub(crate) use reference::{reference, schema};
