//! Sparse linear algebra.
