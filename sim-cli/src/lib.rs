//! The command `millstream`.
