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
