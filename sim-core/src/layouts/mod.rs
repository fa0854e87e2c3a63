//! Which layout of a machine should be built?
//!
//! [`Layouts`] are what a study lets a scenario become: texts that differ in a few settings. [`Layouts::search`] judges them by their limits,
//! the cheap ones first, and by what is aimed at; [`Found`] names those that count.

mod chance;
mod cost;
mod found;
mod judge;
mod offer;
mod problem;

pub use chance::LayoutChance;
pub use found::{Caution, Found, Obstacle, PutForward};
pub use judge::{JudgedLayout, Leaning, Stage};
pub use problem::Layouts;
