//! Which tip serves?

mod tips;

pub use tips::{TipDemand, TipWindow, tip_table};
