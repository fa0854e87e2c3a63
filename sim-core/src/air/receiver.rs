//! How long does a receiver last, how large must it be, and what does it store?

use super::{AirRestriction, HEAT_RATIO, PRESSURE_OVER_DENSITY_J_KG, REFERENCE_DENSITY_KG_M3};
use crate::fluids::AbsolutePressure;

/// Heat exchange between a receiver and the air in it. A small receiver lies between both; over half a minute
/// or longer nearer the first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BlowDown {
    /// The air keeps its temperature.
    Isothermal,
    /// No heat reaches the air: it cools as it expands.
    Adiabatic,
}

impl BlowDown {
    /// Pressure over starting pressure after `time_constants` (>= 0) of choked flow; see [`time_constant`].
    ///
    /// Isothermal `e^(-t)`; adiabatic `(1 + (k - 1) t / 2)^(-2 k / (k - 1))`.
    pub fn pressure_ratio(self, time_constants: f64) -> f64 {
        match self {
            Self::Isothermal => (-time_constants).exp(),
            Self::Adiabatic => Self::expansion(time_constants).powf(-2.0 * HEAT_RATIO / GAIN),
        }
    }

    /// Temperature over starting temperature at the same time.
    pub fn temperature_ratio(self, time_constants: f64) -> f64 {
        match self {
            Self::Isothermal => 1.0,
            Self::Adiabatic => Self::expansion(time_constants).powi(-2),
        }
    }

    /// Time constants until the pressure has fallen to `pressure_ratio` (above 0 to 1) of the start, while
    /// flow stays choked.
    pub fn time_constants_to(self, pressure_ratio: f64) -> f64 {
        match self {
            Self::Isothermal => -pressure_ratio.ln(),
            Self::Adiabatic => 2.0 / GAIN * (pressure_ratio.powf(-GAIN / (2.0 * HEAT_RATIO)) - 1.0),
        }
    }

    fn expansion(time_constants: f64) -> f64 {
        1.0 + 0.5 * GAIN * time_constants
    }
}

/// Ratio of the specific heats less one.
const GAIN: f64 = HEAT_RATIO - 1.0;

/// Time a receiver of `volume_m3` would last at the mass flow it starts with, s: mass over choked flow through
/// `outlet` (conductance above 0), whatever the pressure.
pub fn time_constant(volume_m3: f64, outlet: &AirRestriction) -> f64 {
    let conductance = outlet.sonic_conductance_m3_s_pa * REFERENCE_DENSITY_KG_M3;
    volume_m3 / (PRESSURE_OVER_DENSITY_J_KG * conductance)
}

/// Energy that air at `pressure` (> 0) gives when it expands to the atmosphere at constant
/// temperature, J for each m3 of gas space: `p ln(p / pa)`.
pub fn stored_energy_per_volume(pressure: AbsolutePressure) -> f64 {
    pressure.pa * (pressure.pa / AbsolutePressure::ATMOSPHERE.pa).ln()
}

/// Volume of receiver, m3, that falls by `fall_pa` (> 0) while it gives `free_air_m3`: air drawn less air the
/// compressor feeds meanwhile, counted at the atmosphere and at the receiver's temperature.
pub fn receiver_volume(free_air_m3: f64, fall_pa: f64) -> f64 {
    AbsolutePressure::ATMOSPHERE.pa * free_air_m3 / fall_pa
}

/// Pressure of the atmosphere at `height_m` above the sea, up to 11 000 m (ISO 2533).
pub fn atmosphere_at_height(height_m: f64) -> AbsolutePressure {
    AbsolutePressure {
        pa: AbsolutePressure::ATMOSPHERE.pa * (1.0 - 2.255_77e-5 * height_m).powf(5.255_88),
    }
}
