//! Checks.
fn main() {}
