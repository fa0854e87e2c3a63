//! After breakthrough, how fast does air drag the layer remaining?

use super::flat_layer::FlatLayer;
use super::martinelli::butterworth_parameter;
use super::nose::{eotvos, level_drift};
use crate::fluids::{GRAVITY_M_S2, Liquid};

/// Highest holdup the drag is computed with; more is dragged as hard as this.
const HIGHEST_HOLDUP: f64 = 0.95;
/// Twice the inverse of the exponent in Butterworth's curve.
const INVERTED_EXPONENT: f64 = 2.0 / 0.71;

/// Sines of slope between which a layer on the floor becomes a film all round: 30 and 60 degrees.
const STEEP_SIN: (f64, f64) = (0.5, 0.866);

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
    /// Gradient of the liquid's weight along the line, `rho g sin`, Pa/m.
    weight_pa_m: f64,
    /// Share of the line's liquid that is a film all round instead of a layer on the floor, 0 to 1.
    film: f64,
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
            weight_pa_m: density * GRAVITY_M_S2 * slope_sin,
            film: film_share(bore_m, slope_sin, liquid),
        }
    }

    /// Flow of the layer at `holdup` (0 to 1) under air whose own pressure gradient in the dry line, positive
    /// when it flows in the positive direction, is `gas_pa_m`.
    ///
    /// Drag and weight add up to one pressure gradient, counted as that of the liquid alone in the whole bore:
    /// `X^2 G - w rho g sin`. On the floor of a line `w` is that of a [`FlatLayer`]; in steep ones, and in narrow ones,
    /// `2/3 H^3`, the draining film of W. Nusselt (1916) on the whole wall. The layer takes the smaller of the laminar
    /// flow and the turbulent one by H. Blasius (1913). Steady, fully developed flow at every moment, no droplets.
    pub fn flux(&self, holdup: f64, gas_pa_m: f64) -> LayerFlux {
        let holdup = holdup.max(0.0);
        let (drag, drag_slope) = if gas_pa_m == 0.0 { (0.0, 0.0) } else { self.layer.drag(holdup) };
        let (pulled, pulled_slope) = (drag * gas_pa_m, drag_slope * gas_pa_m);
        if self.weight_pa_m == 0.0 {
            return self.under(pulled, pulled_slope, pulled_slope.abs());
        }
        let flat = self.flat(holdup);
        let (falls, falls_slope) =
            (self.weight_pa_m * flat.weight, self.weight_pa_m * flat.weight_slope);
        let (drive, drive_slope) = (pulled - falls, pulled_slope - falls_slope);
        let steepest = pulled_slope.abs() + falls_slope.abs();
        let (part, part_slope) = part_of_weight((pulled, pulled_slope), (falls, falls_slope));
        let factor = 1.0 - part * (1.0 - flat.turbulent);
        // The bound falls with the factor to the power 7/3: its cube is below that and saves the power.
        if drive.abs() <= self.laminar_up_to * factor * factor * factor {
            return self.under_laminar(drive, drive_slope, steepest);
        }
        let turbulent_m_s = self.turbulent * drive.abs().powf(4.0 / 7.0);
        if self.laminar * drive.abs() <= factor * turbulent_m_s {
            return self.under_laminar(drive, drive_slope, steepest);
        }
        let factor_slope = part * flat.turbulent_slope - part_slope * (1.0 - flat.turbulent);
        let per_drive = 4.0 / 7.0 * factor * turbulent_m_s / drive.abs();
        LayerFlux {
            flux_m_s: (factor * turbulent_m_s).copysign(drive),
            slope_m_s: drive_slope * per_drive + drive.signum() * factor_slope * turbulent_m_s,
            fastest_m_s: steepest * per_drive + factor_slope.abs() * turbulent_m_s,
        }
    }

    fn under_laminar(&self, drive_pa_m: f64, drive_slope: f64, steepest: f64) -> LayerFlux {
        LayerFlux {
            flux_m_s: drive_pa_m * self.laminar,
            slope_m_s: drive_slope * self.laminar,
            fastest_m_s: steepest * self.laminar,
        }
    }

    /// Flow of what air carries uphill as waves and plugs, m/s, at `holdup` (0 to 1): dragged like a layer, and held back
    /// like a film all round.
    pub fn carried(&self, holdup: f64, gas_pa_m: f64) -> f64 {
        let (drag, slope) = self.layer.drag(holdup);
        let film = 2.0 / 3.0 * holdup * holdup * holdup;
        self.under(drag * gas_pa_m - self.weight_pa_m * film, slope, slope).flux_m_s
    }

    /// Flow of a layer that weight neither drives nor holds, under `drive_pa_m`, which grows by `drive_slope` with holdup.
    fn under(&self, drive_pa_m: f64, drive_slope: f64, steepest: f64) -> LayerFlux {
        let (flux_per_drive, share) = self.mobility(drive_pa_m.abs());
        LayerFlux {
            flux_m_s: drive_pa_m * flux_per_drive,
            slope_m_s: drive_slope * flux_per_drive * share,
            fastest_m_s: steepest * flux_per_drive,
        }
    }

    /// How weight drives the layer at `holdup`: a film all round, a layer on the floor, or between both.
    fn flat(&self, holdup: f64) -> FlatLayer {
        let (nusselt, nusselt_slope) =
            (2.0 / 3.0 * holdup * holdup * holdup, 2.0 * holdup * holdup);
        let flat =
            if self.film < 1.0 { FlatLayer::tabulated(holdup) } else { FlatLayer::default() };
        let mix = |flat: f64, film: f64| flat + (film - flat) * self.film;
        FlatLayer {
            weight: mix(flat.weight, nusselt),
            turbulent: mix(flat.turbulent, 1.0),
            weight_slope: mix(flat.weight_slope, nusselt_slope),
            turbulent_slope: mix(flat.turbulent_slope, 0.0),
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

/// Part of what acts on a layer that is its weight (`falls` opposite to its direction), beside the drag `pulled`, and its
/// derivative by holdup, from both and their derivatives. The factor of turbulent flow under weight counts by it: where both
/// act against each other, it is all or nothing, by which wins.
fn part_of_weight(
    (pulled, pulled_slope): (f64, f64),
    (falls, falls_slope): (f64, f64),
) -> (f64, f64) {
    if pulled * falls > 0.0 {
        return (if falls.abs() > pulled.abs() { 1.0 } else { 0.0 }, 0.0);
    }
    let acts = pulled.abs() + falls.abs();
    if acts <= 0.0 {
        return (0.0, 0.0);
    }
    let slope = falls_slope.abs() * pulled.abs() - falls.abs() * pulled_slope.abs();
    (falls.abs() / acts, slope / (acts * acts))
}

/// Share of the liquid that clings all round instead of lying on the floor: all of it where surface tension keeps air
/// from running in over liquid at rest, and by slope from 30 to 60 degrees (an assumption).
fn film_share(bore_m: f64, slope_sin: f64, liquid: &Liquid) -> f64 {
    if level_drift(eotvos(bore_m, liquid)) <= 0.0 {
        return 1.0;
    }
    let (gentle, steep) = STEEP_SIN;
    ((slope_sin.abs() - gentle) / (steep - gentle)).clamp(0.0, 1.0)
}
