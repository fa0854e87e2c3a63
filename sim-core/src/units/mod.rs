//! What number is "40 psi", and how is it shown?
//!
//! Every dimensional value a user writes carries its unit; inside, everything is SI. Pressures are
//! gauge, temperatures degC.
//!
//! ```
//! use sim_core::units::{Quantity, UnitSystem, parse, show};
//! let pascal = parse("40 psi", Quantity::Pressure)?;
//! assert_eq!(show(pascal, Quantity::Pressure, UnitSystem::Si), "2.76 bar");
//! assert!(parse("40", Quantity::Pressure).is_err());
//! # Ok::<(), sim_core::units::UnitError>(())
//! ```

mod format;
mod nearest;
mod parse;
mod system;
mod table;

pub use format::{DisplayUnit, display_unit, show, show_bound, show_number, write_exact};
pub use nearest::suggestion;
pub(crate) use nearest::{lower_first, nearest};
pub use parse::{Typed, UnitError, WrongUnit, parse, typed};
pub use system::UnitSystem;
pub use table::{Quantity, Unit, units_of};
