//! Which setting of a scenario is meant, and what is the scenario with another value of it?
//!
//! A setting goes by its names from the top of the file down, such as `supply.hose.bore` or `step.spray.pump`
//! ([`SettingPath`]). [`Setting`] is one with the values it is to take.

mod error;
mod path;
mod setting;
mod value;

pub use error::SettingError;
pub use path::SettingPath;
pub(crate) use path::applied_all;
pub use setting::Setting;
pub(crate) use value::number_and_rest;
