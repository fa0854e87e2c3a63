//! How dense and how viscous is the liquid?

/// A Newtonian liquid at one temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Liquid {
    /// What it is called.
    pub name: String,
    /// Temperature, degC.
    pub temperature_c: f64,
    /// Density, kg/m3, > 0.
    pub density_kg_m3: f64,
    /// Dynamic viscosity, Pa s, > 0.
    pub viscosity_pa_s: f64,
    /// Vapour pressure, Pa absolute, >= 0.
    pub vapour_pressure_pa: f64,
    /// What a reader must know of these figures (such as an assumed viscosity), if anything.
    pub caution: Option<String>,
}
/// Standard acceleration of gravity, m/s2.
pub const GRAVITY_M_S2: f64 = 9.80665;
/// Standard atmosphere, Pa.
pub const ATMOSPHERE_PA: f64 = 101_325.0;
/// Density of the water that tips are rated with (20 degC), kg/m3.
pub const TIP_DENSITY_KG_M3: f64 = 998.2067;

/// Water at 20 degC.
pub fn water(temperature_c: f64) -> Liquid {
    Liquid {
        name: "water".into(),
        temperature_c,
        density_kg_m3: TIP_DENSITY_KG_M3,
        viscosity_pa_s: 1.0016e-3,
        vapour_pressure_pa: 2339.3,
        caution: None,
    }
}
