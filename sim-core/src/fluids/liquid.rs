//! Liquids: water, and others by what is known of them.

use super::pressure::AbsolutePressure;
use super::water::{RANGE_C, density, surface_tension, vapour_pressure, viscosity};

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
    /// Vapour pressure.
    pub vapour_pressure: AbsolutePressure,
    /// Surface tension against air, N/m, > 0. Water has 0.073, mixes with a surfactant 0.030 to 0.050 (common practice,
    /// no source).
    pub surface_tension_n_m: f64,
    /// What a reader must know of these figures (such as an assumed viscosity), if anything.
    pub caution: Option<String>,
}

impl Liquid {
    /// A liquid of which some figures are known; water's at the same temperature are taken for the others, and the
    /// caution says so where it matters. Its surface tension is water's, too, unless its field is set.
    pub fn from_known(
        name: &str,
        temperature_c: f64,
        density_kg_m3: Option<f64>,
        viscosity_pa_s: Option<f64>,
        vapour_pressure: Option<AbsolutePressure>,
    ) -> Self {
        let water = water(temperature_c.clamp(RANGE_C.0, RANGE_C.1));
        let other_than_water =
            density_kg_m3.is_some_and(|d| (d / water.density_kg_m3 - 1.0).abs() > 0.02);
        let caution = (other_than_water && viscosity_pa_s.is_none()).then(|| {
            format!(
                "the viscosity of {name} is not given: water's stands in for it, so friction in the \
                 lines is too low and the last lines may be laminar without showing it"
            )
        });
        Self {
            name: name.into(),
            temperature_c,
            density_kg_m3: density_kg_m3.unwrap_or(water.density_kg_m3),
            viscosity_pa_s: viscosity_pa_s.unwrap_or(water.viscosity_pa_s),
            vapour_pressure: vapour_pressure.unwrap_or(water.vapour_pressure),
            surface_tension_n_m: water.surface_tension_n_m,
            caution,
        }
    }
}

/// Water at `celsius`, 0 to 50 degC.
pub fn water(celsius: f64) -> Liquid {
    Liquid {
        name: "water".into(),
        temperature_c: celsius,
        density_kg_m3: density(celsius),
        viscosity_pa_s: viscosity(celsius),
        vapour_pressure: AbsolutePressure { pa: vapour_pressure(celsius) },
        surface_tension_n_m: surface_tension(celsius),
        caution: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heavy_liquid_without_viscosity_carries_a_caution() {
        let liquid = Liquid::from_known("solution", 20.0, Some(1280.0), None, None);
        assert!(liquid.caution.is_some());
        assert_eq!(liquid.viscosity_pa_s, water(20.0).viscosity_pa_s);
    }

    #[test]
    fn a_fully_known_liquid_carries_none() {
        let vapour = AbsolutePressure { pa: 2000.0 };
        let known = Liquid::from_known("mix", 20.0, Some(1050.0), Some(3e-3), Some(vapour));
        assert_eq!(known.caution, None);
    }
}
