//! How dense and how viscous is the liquid, what is its pressure measured from? How fast do particles in it settle?
//!
//! ```
//! use sim_core::fluids::{Particles, water};
//! let liquid = water(20.0);
//! assert!((liquid.density_kg_m3 - 998.2).abs() < 0.1);
//! let particles = Particles { diameter_m: 1e-5, density_kg_m3: 1400.0, share: 0.005 };
//! assert!((particles.stokes_velocity(&liquid) - 2.19e-5).abs() < 1e-7);
//! ```

mod liquid;
mod pressure;
mod settling;
mod water;

pub use liquid::{Liquid, water};
pub use pressure::{AbsolutePressure, GaugePressure};
pub use settling::{
    HINDRANCE_EXPONENT, Particles, hindrance, still_suspended_in_bore, still_suspended_in_depth,
};
pub(crate) use water::RANGE_C;
pub use water::{density, surface_tension, vapour_pressure, viscosity};

/// Standard acceleration of gravity, m/s2 (ISO 80000-3).
pub const GRAVITY_M_S2: f64 = 9.806_65;
/// Density of the water tips are rated with (clean water at 20 degC, ISO 5682-1), kg/m3.
pub const TIP_DENSITY_KG_M3: f64 = 998.207;
/// Largest Reynolds number of line flow taken as laminar.
pub const LAMINAR_UP_TO: f64 = 2000.0;
