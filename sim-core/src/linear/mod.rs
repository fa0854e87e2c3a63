//! Sparse systems of equations: the only folder that names the sparse crates.

mod pattern;
mod symmetric;
mod unsymmetric;

pub(crate) use symmetric::SparseSpd;
pub(crate) use unsymmetric::SparseLu;

/// Some unknown is tied to nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the system of equations is singular")]
pub(crate) struct Singular;
