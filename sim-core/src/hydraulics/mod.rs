//! Given openings and contents, what are pressures and flows now?

mod instant;

pub use instant::{Actuated, Instant, Notice, Reached, Work};
