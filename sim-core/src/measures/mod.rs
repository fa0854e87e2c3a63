//! Which scalars does a run have, and what is demanded of them?
//!
//! [`Measure`] is the catalogue: a row gives key, words, quantity, which way is better, how steps add up and what a
//! standard demands. Limits, comparisons, sweeps, tables and pages draw on it; what each row comes to is for the
//! finding it belongs to (`findings`).

mod catalogue;
mod limits;
mod row;

pub use catalogue::Measure;
pub use limits::{Limit, Limits};
pub use row::{Better, Over};
