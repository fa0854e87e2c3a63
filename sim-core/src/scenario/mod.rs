//! What did the user ask for, and is it sound?

mod fault;
mod files;
mod model;

pub use fault::Fault;
pub use files::Files;
pub use model::{Limit, Limits, ModelOptions, Scenario, Travel};
