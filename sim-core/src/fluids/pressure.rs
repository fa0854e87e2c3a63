//! Pressure as gauges show it and as the law of gases counts it: to take one for the other is off by an atmosphere.

use serde::Serialize;

/// Standard atmosphere, Pa (ISO 2533).
const ATMOSPHERE_PA: f64 = 101_325.0;

/// Pressure above that of the surroundings. Serialised as pascals.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct GaugePressure {
    /// Pa; below 0 where there is suction.
    pub pa: f64,
}

/// Pressure above that of nothing at all. Serialised as pascals.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct AbsolutePressure {
    /// Pa, >= 0.
    pub pa: f64,
}

impl GaugePressure {
    /// The same pressure above nothing, the surroundings being at the standard atmosphere.
    pub fn absolute(self) -> AbsolutePressure {
        AbsolutePressure { pa: self.pa + ATMOSPHERE_PA }
    }
}

impl AbsolutePressure {
    /// The standard atmosphere (ISO 2533).
    pub const ATMOSPHERE: Self = Self { pa: ATMOSPHERE_PA };

    /// The same pressure above that of the surroundings, which are at the standard atmosphere.
    pub fn gauge(self) -> GaugePressure {
        GaugePressure { pa: self.pa - ATMOSPHERE_PA }
    }

    /// The higher of the two.
    pub fn max(self, other: Self) -> Self {
        Self { pa: self.pa.max(other.pa) }
    }

    /// The lower of the two.
    pub fn min(self, other: Self) -> Self {
        Self { pa: self.pa.min(other.pa) }
    }
}
