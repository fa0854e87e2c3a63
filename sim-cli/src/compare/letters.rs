//! What layouts are called.

/// Most layouts in one comparison: each has a letter, and a drawing on the page.
pub(crate) const MOST_LAYOUTS: usize = 8;

/// Letters of the layouts, in order.
pub(super) const LETTERS: [char; MOST_LAYOUTS] = ['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H'];
