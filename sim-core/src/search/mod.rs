//! Which of very many designs are better than all others?
//!
//! [`search()`] is the one entry: it knows nothing of machines, only of [`Space`]s, of what is aimed at and of broken limits.
//! [`front`] says which designs no other beats, [`in_boxes`] thins them out, [`compromise`] finds the one in the middle.

mod boxes;
mod dominance;
mod evolve;
mod judged;
mod random;
mod space;

pub use boxes::{compromise, in_boxes};
pub use dominance::front;
pub use evolve::{Effort, search};
pub use judged::Judged;
pub use space::{Design, Gene, Space, count};
