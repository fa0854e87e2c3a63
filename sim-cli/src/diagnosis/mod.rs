//! A diagnosis as its readers see it: words, sheets of rows, JSON, a page to print.

pub(crate) mod json;
pub(crate) mod page;
pub(crate) mod sheets;
pub(crate) mod words;
