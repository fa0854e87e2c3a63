//! Given openings and contents, what are pressures and flows now?
//!
//! Each kind of part has its law in a file of its own: a pure function from flow to drop of total
//! pressure with its derivative. [`Solver`] puts them together.

mod border;
mod check_valve;
mod circuit;
mod controls;
mod convergence;
mod descent;
mod filling;
mod friction;
mod gas;
mod instant;
mod law;
mod line;
mod mixed;
mod newton;
mod notices;
mod pchip;
mod pump;
mod search;
mod solver;
mod splits;
mod system_curve;
mod tee;
mod tip;
mod valve;

pub use check_valve::CheckLaw;
pub use convergence::TOLERANCE;
pub use filling::{Filling, Mixed, Store};
pub use friction::{Factor, Friction, LAMINAR_UP_TO, TURBULENT_FROM};
pub use gas::{InletLaw, PocketLaw, SpringLaw, VentLaw};
pub use instant::{Actuated, Instant, Notice, Reached, Work};
pub use law::{KV_DENSITY_KG_M3, Loss, coefficient_of_kv, quadratic};
pub use line::LineLaw;
pub use pchip::Pchip;
pub use pump::PumpLaw;
pub use solver::{MixedInstant, SolveError, Solver};
pub use system_curve::{pump_curve, system_curve};
pub use tee::{TeeDrops, drops as tee_drops};
pub use tip::TipLaw;
pub use valve::{kv_at, log_slope, orifice_coefficient};
