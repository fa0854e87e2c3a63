//! The command `millstream`.
fn main() {}
