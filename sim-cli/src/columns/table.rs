//! A table of text.

/// A table ready to be set: heads and cells as people read them.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Table {
    pub(crate) title: String,
    /// Each head, and whether its column is set to the left.
    pub(crate) heads: Vec<(String, bool)>,
    pub(crate) rows: Vec<Vec<String>>,
}
