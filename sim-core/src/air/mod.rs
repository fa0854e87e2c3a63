//! How does air flow, and what does a supply of compressed air give?
//!
//! Air is an ideal gas at one temperature throughout; its pressures count from nothing ([`AbsolutePressure`]).
//!
//! ```
//! use sim_core::air::AirRestriction;
//! use sim_core::fluids::AbsolutePressure;
//! // A valve of 2 dm3/(s bar) and b 0.3, 3 bar ahead of it: behind it, below 0.9 bar nothing changes any more.
//! let valve = AirRestriction { sonic_conductance_m3_s_pa: 2e-8, critical_ratio: 0.3 };
//! let flow = |behind: f64| valve.flow(AbsolutePressure { pa: 3e5 }, AbsolutePressure { pa: behind }).kg_s;
//! assert_eq!(flow(0.5e5), flow(0.9e5));
//! assert!(flow(2e5) < flow(0.9e5));
//! ```

mod line;
mod receiver;
mod restriction;
mod supply;

use crate::fluids::AbsolutePressure;

pub use line::{mass_flux, smooth_line_gradient};
pub use receiver::{
    BlowDown, atmosphere_at_height, receiver_volume, stored_energy_per_volume, time_constant,
};
pub use restriction::{AirRestriction, MassFlow, UpstreamPressure};
pub use supply::Supply;

/// Gas constant of dry air, J/(kg K).
pub const GAS_CONSTANT_J_KG_K: f64 = 287.05;
/// Temperature of the air, K (20 degC, the reference of ISO 8778 and ISO 6358).
pub(crate) const TEMPERATURE_K: f64 = 293.15;
/// Dynamic viscosity of air at that temperature, Pa s.
pub(crate) const VISCOSITY_PA_S: f64 = 1.82e-5;
/// Ratio of the specific heats of air.
pub(crate) const HEAT_RATIO: f64 = 1.4;
/// Density ISO 6358 refers sonic conductance to (100 kPa, 20 degC, 65 % humidity), kg/m3.
pub const REFERENCE_DENSITY_KG_M3: f64 = 1.185;
/// Pressure over density, `R T`, J/kg.
pub const PRESSURE_OVER_DENSITY_J_KG: f64 = GAS_CONSTANT_J_KG_K * TEMPERATURE_K;

/// Density of air at `pressure`, kg/m3.
pub fn density(pressure: AbsolutePressure) -> f64 {
    pressure.pa / PRESSURE_OVER_DENSITY_J_KG
}

/// Mass flow of `free_air_m3_s`, volume flow at the standard atmosphere as compressors are rated (ISO 1217),
/// kg/s.
pub fn mass_of_free_air(free_air_m3_s: f64) -> f64 {
    free_air_m3_s * density(AbsolutePressure::ATMOSPHERE)
}
