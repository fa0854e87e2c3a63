//! What number is "40 psi", and how is it shown?
//!
//! Every dimensional value a user writes carries its unit; inside, everything is SI. Pressures are
//! gauge, temperatures degC.

mod format;
mod parse;
mod table;

pub use format::{
    DisplayUnit, UnitSystem, display_unit, show, show_bound, show_number, write_exact,
};
pub use parse::{UnitError, parse};
pub use table::{Quantity, Unit, units_of};
