//! The hydraulics of field-sprayer boom plumbing.
//!
//! One room a question; each may use only the rooms above it. The library opens no file, reads no
//! clock and prints nothing.

pub mod air;
pub mod diagnosis;
pub mod findings;
pub mod fluids;
pub mod hydraulics;
pub mod linear;
pub mod plumbing;
pub mod procedure;
pub mod scenario;
pub mod simulation;
pub mod sizing;
pub mod transport;
pub mod two_phase;
pub mod units;
