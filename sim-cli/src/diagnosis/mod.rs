//! A diagnosis in files: JSON, a page to print.

pub(crate) mod json;
pub(crate) mod page;
