//! Shared helpers of the checks.

pub mod targets;
