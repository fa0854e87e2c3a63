//! After breakthrough, how fast does air drag the layer remaining?

use super::martinelli::butterworth_parameter;
use crate::fluids::{GRAVITY_M_S2, Liquid};

/// Highest holdup the drag is computed with; more is dragged as hard as this.
const HIGHEST_HOLDUP: f64 = 0.95;
/// Twice the inverse of the exponent in Butterworth's curve.
const INVERTED_EXPONENT: f64 = 2.0 / 0.71;

/// How the layer lies in the line. No measurement of a purge decides between both: in level lines the first
/// tells 1 to 3 times more liquid left than the second.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Layer {
    /// An even film all round, dragged as hard as air drags a dry wall: the wet side.
    EvenFilm,
    /// What flows when steady flow of both holds as much, by Butterworth's curve: the best estimate.
    #[default]
    InvertedHoldup,
}

impl Layer {
    /// Pressure gradient on the layer over that of the air alone (Lockhart & Martinelli's parameter
    /// squared), and its derivative by `holdup`.
    fn drag(self, holdup: f64) -> (f64, f64) {
        let holdup = holdup.clamp(0.0, HIGHEST_HOLDUP);
        match self {
            Self::EvenFilm => (holdup * holdup, 2.0 * holdup),
            Self::InvertedHoldup if holdup > 0.0 => {
                let drag = butterworth_parameter(holdup).powi(2);
                (drag, INVERTED_EXPONENT * drag / (holdup * (1.0 - holdup)))
            }
            Self::InvertedHoldup => (0.0, 0.0),
        }
    }
}

/// Flow of the layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerFlux {
    /// Superficial velocity of the liquid, m/s; its sign is its direction.
    pub flux_m_s: f64,
    /// Its derivative by holdup, m/s: the speed of a small step in the layer.
    pub slope_m_s: f64,
    /// Bound on the size of that derivative, m/s, >= 0, for choosing a time step. In a level line it holds
    /// at every lower holdup too.
    pub fastest_m_s: f64,
}

/// The law of the layer in one line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerLaw {
    layer: Layer,
    /// Laminar flux for a pressure gradient of one, m2/(Pa s).
    laminar: f64,
    /// Turbulent flux for a pressure gradient of one to the power 4/7.
    turbulent: f64,
    /// Pressure gradient up to which the layer is laminar for certain, Pa/m: saves the power there.
    laminar_up_to: f64,
    /// Pressure gradient of the layer's weight over holdup cubed, Pa/m.
    weight_pa_m: f64,
}

impl LayerLaw {
    /// The law for a line of `bore_m` (> 0) whose slope has the sine `slope_sin`, upward in the direction
    /// counted as positive.
    pub fn new(layer: Layer, bore_m: f64, slope_sin: f64, liquid: &Liquid) -> Self {
        let (density, viscosity) = (liquid.density_kg_m3, liquid.viscosity_pa_s);
        let reynolds_per_flux = density * bore_m / viscosity;
        let blasius = 2.0 * bore_m / (0.3164 * density) * reynolds_per_flux.powf(0.25);
        let (laminar, turbulent) = (bore_m * bore_m / (32.0 * viscosity), blasius.powf(4.0 / 7.0));
        Self {
            layer,
            laminar,
            turbulent,
            laminar_up_to: 0.999 * (turbulent / laminar).powf(7.0 / 3.0),
            weight_pa_m: 2.0 / 3.0 * density * GRAVITY_M_S2 * slope_sin,
        }
    }

    /// Flow of the layer at `holdup` (0 to 1) under air whose own pressure gradient in the dry line, positive
    /// when it flows in the positive direction, is `gas_pa_m`.
    ///
    /// Drag and weight add up to one pressure gradient: `X^2 G - 2/3 rho g sin H^3`, which in laminar flow
    /// gives the drag `X^2 G D^2 / (32 mu)` less the draining film `rho g sin D^2 H^3 / (48 mu)` (W. Nusselt's
    /// film, 1916, on the whole wall). Where the gradient would drive it turbulent by H. Blasius (1913), the
    /// layer takes the smaller of both flows. Steady, fully developed flow at every moment, no droplets.
    pub fn flux(&self, holdup: f64, gas_pa_m: f64) -> LayerFlux {
        let holdup = holdup.max(0.0);
        let (drag, drag_slope) = self.layer.drag(holdup);
        let weight = self.weight_pa_m * holdup * holdup;
        let drive = drag * gas_pa_m - weight * holdup;
        let drive_slope = drag_slope * gas_pa_m - 3.0 * weight;
        let (flux_per_drive, share) = self.mobility(drive.abs());
        LayerFlux {
            flux_m_s: drive * flux_per_drive,
            slope_m_s: drive_slope * flux_per_drive * share,
            fastest_m_s: (drag_slope * gas_pa_m.abs() + 3.0 * weight.abs()) * flux_per_drive,
        }
    }

    /// Flux over the pressure gradient `drive_pa_m` (>= 0), and the exponent of the gradient in the flux.
    fn mobility(&self, drive_pa_m: f64) -> (f64, f64) {
        if drive_pa_m <= self.laminar_up_to {
            return (self.laminar, 1.0);
        }
        let turbulent = self.turbulent * drive_pa_m.powf(-3.0 / 7.0);
        if self.laminar <= turbulent { (self.laminar, 1.0) } else { (turbulent, 4.0 / 7.0) }
    }
}
