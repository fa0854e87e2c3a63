//! Which tip serves, in which order should sections be blown, what might a machine of this width look like?
//!
//! ```
//! use sim_core::sizing::{TipDemand, tip_table};
//! let demand = TipDemand {
//!     rate_m: 190e-7, // 190 L/ha
//!     speed_m_s: (8.0 / 3.6, 12.0 / 3.6),
//!     spacing_m: 0.5,
//!     pressure_pa: (1e5, 6e5),
//!     least_duty: 1.0,
//!     density_kg_m3: 998.2,
//! };
//! let table = tip_table(&demand);
//! let serve: Vec<String> = table.iter().filter(|row| row.serves).map(|row| row.code()).collect();
//! assert_eq!(serve, ["035", "04", "05"]);
//! ```

mod first_guess;
mod orders;
mod tips;

pub use first_guess::{
    Bores, Coefficients, FirstGuess, INCH_BORES_M, METRIC_BORES_M, Outline, Returning, first_guess,
    tip_count,
};
pub use orders::{NoTrial, Trial, orders};
pub use tips::{TipDemand, TipWindow, body_table, tip_table};
