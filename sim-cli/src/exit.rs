//! Exit codes.

/// Done.
pub const DONE: u8 = 0;
/// A limit is not met, and `--enforce` was given.
pub const LIMIT_NOT_MET: u8 = 1;
/// Bad input; nothing was written.
pub const BAD_INPUT: u8 = 2;
/// No solution to trust; nothing was written.
pub const NOT_TRUSTED: u8 = 3;
/// Interrupted by Ctrl-C or asked to end; no file is half written.
pub const INTERRUPTED: u8 = 130;
