//! Which tip serves?

mod orders;
mod tips;

pub use orders::{NoTrial, Trial, orders};
pub use tips::{TipDemand, TipWindow, tip_table};
