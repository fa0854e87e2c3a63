//! A first scenario: what is asked, and the file that comes of it. What follows from the answers is `sim-core`'s.

mod answers;
mod ask;
mod round;
mod shipped;
mod steps;
mod text;

pub(crate) use answers::{Answers, size};
pub(crate) use ask::Asking;
pub(crate) use shipped::{list, shipped};
pub(crate) use text::Starter;

/// The scenario of `starter`.
pub(crate) fn scenario(starter: &Starter<'_>) -> String {
    starter.text() + &steps::steps(starter)
}
