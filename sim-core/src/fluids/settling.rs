//! How fast do solid particles settle, what stays suspended while a liquid stands, and how fast must it run
//! to keep them moving?
//!
//! Particles are round, of one size, and not stuck together. Velocities are positive downward; particles
//! lighter than the liquid rise, at the same speeds with the sign turned.

use super::{GRAVITY_M_S2, Liquid};
use std::f64::consts::FRAC_2_PI;

/// Exponent of [`hindrance`] at a low particle Reynolds number (below about 0.2, from memory).
///
/// J. F. Richardson & W. N. Zaki, *Trans. Inst. Chem. Eng.* 32, 35 (1954). A later look at many
/// measurements gives 4.48 +- 0.04, and 5.6 +- 0.1 for particles so fine that heat keeps them moving
/// (arXiv 1710.09314, 2017).
pub const HINDRANCE_EXPONENT: f64 = 4.65;

/// Solid particles of one size in a liquid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Particles {
    /// Diameter, m, > 0.
    pub diameter_m: f64,
    /// Density of the solid, kg/m3, > 0.
    pub density_kg_m3: f64,
    /// Share of the volume that is solid, 0 to 0.4.
    pub share: f64,
}

impl Particles {
    /// Velocity of one particle falling alone through `liquid` at rest, m/s.
    ///
    /// Valid for a [particle Reynolds number](Self::particle_reynolds) below about 1: too fast by one or two
    /// percent at 0.1 and by half at 7, so always on the side of early settling. G. G. Stokes, *Trans. Camb.
    /// Phil. Soc.* 9 (1851).
    pub fn stokes_velocity(&self, liquid: &Liquid) -> f64 {
        let excess_kg_m3 = self.density_kg_m3 - liquid.density_kg_m3;
        let squared_m2 = self.diameter_m * self.diameter_m;
        excess_kg_m3 * GRAVITY_M_S2 * squared_m2 / (18.0 * liquid.viscosity_pa_s)
    }

    /// Reynolds number of one particle at its [Stokes velocity](Self::stokes_velocity), on its diameter, >= 0.
    /// From about 1 on, that velocity no longer holds.
    pub fn particle_reynolds(&self, liquid: &Liquid) -> f64 {
        let velocity_m_s = self.stokes_velocity(liquid).abs();
        liquid.density_kg_m3 * velocity_m_s * self.diameter_m / liquid.viscosity_pa_s
    }

    /// Velocity of the particles among their like, m/s: the [Stokes velocity](Self::stokes_velocity), slowed
    /// by [`hindrance`] with [`HINDRANCE_EXPONENT`].
    ///
    /// Valid for shares of 0 to 0.4 and where the Stokes velocity is. Richardson & Zaki (1954).
    pub fn hindered_velocity(&self, liquid: &Liquid) -> f64 {
        self.stokes_velocity(liquid) * hindrance(self.share, HINDRANCE_EXPONENT)
    }

    /// Lowest mean velocity, m/s, at which a level line of `bore_m` (> 0) keeps the particles from lying on
    /// its floor: the larger of what [coarse](Self::coarse_pick_up_velocity) and [fine](Self::fine_pick_up_velocity)
    /// particles need, so that it errs late. 0 without particles, or where they are as dense as the liquid.
    pub fn pick_up_velocity(&self, liquid: &Liquid, bore_m: f64) -> f64 {
        if self.share <= 0.0 {
            return 0.0;
        }
        self.coarse_pick_up_velocity(liquid, bore_m).max(self.fine_pick_up_velocity(liquid, bore_m))
    }

    /// What particles thinner than the sublayer next to the wall need, m/s, in a line of `bore_m` (> 0), whatever their
    /// size and share: `9.0 (g nu S)^0.37 (D/nu)^0.11`, with `S` the excess of their density over the liquid's.
    ///
    /// A. D. Thomas, *Int. J. Multiphase Flow* 5, 113 (1979), a friction velocity of `1.1 (g nu S)^(1/3)`, as an open
    /// textbook of slurry transport gives it; from memory. Turbulent flow: below a Reynolds number of
    /// [`LAMINAR_UP_TO`](super::LAMINAR_UP_TO) nothing lifts them.
    pub fn fine_pick_up_velocity(&self, liquid: &Liquid, bore_m: f64) -> f64 {
        let excess = (self.density_kg_m3 / liquid.density_kg_m3 - 1.0).abs();
        let kinematic = liquid.viscosity_pa_s / liquid.density_kg_m3;
        9.0 * (GRAVITY_M_S2 * kinematic * excess).powf(0.37) * (bore_m / kinematic).powf(0.11)
    }

    /// What coarser particles need, m/s, in a line of `bore_m` (> 0).
    ///
    /// A. R. Oroskar & R. M. Turian, *AIChE J.* 26, 550 (1980); constants as restated after A. Poloski and
    /// others, PNNL WTP-RPT-175 (2009). The share of eddies able to lift a particle is taken as 1. It counts on turbulence: where `liquid` at this velocity
    /// would be laminar in the line (Reynolds number below [`LAMINAR_UP_TO`](super::LAMINAR_UP_TO)) more is
    /// needed than it says. Particles of some 10 um and shares below 1 % are far from those it is mostly used
    /// for. It goes to 0 with the share, and falls for shares above 0.3. Particles lighter than the liquid
    /// are taken as the mirror image of heavier ones (an assumption).
    pub fn coarse_pick_up_velocity(&self, liquid: &Liquid, bore_m: f64) -> f64 {
        let excess = (self.density_kg_m3 / liquid.density_kg_m3 - 1.0).abs();
        let scale_m_s = (GRAVITY_M_S2 * self.diameter_m * excess).sqrt();
        let reynolds = bore_m * scale_m_s * liquid.density_kg_m3 / liquid.viscosity_pa_s;
        let crowding = self.share.powf(0.1536) * (1.0 - self.share).powf(0.3564);
        let slimness = (bore_m / self.diameter_m).powf(0.378);
        1.85 * scale_m_s * crowding * slimness * reynolds.powf(0.09)
    }
}

/// Velocity of settling among others over velocity alone, 0 to 1: `(1 - share)^exponent`.
///
/// `share` is the solid's share of the volume, 0 to 0.4; `exponent` > 0. Richardson & Zaki (1954).
pub fn hindrance(share: f64, exponent: f64) -> f64 {
    (1.0 - share).powf(exponent)
}

/// Share, 1 to 0, of particles spread evenly through a level line that are still suspended after standing for
/// `time_s` (>= 0), all falling straight at `velocity_m_s` (rising, if negative) in a round `bore_m` (> 0).
///
/// What is left is the overlap of the bore with itself shifted by the fall: none from one bore on. A sloping
/// line, stirring and particles of several sizes are left out. Plane geometry.
pub fn still_suspended_in_bore(velocity_m_s: f64, time_s: f64, bore_m: f64) -> f64 {
    let x = fallen(velocity_m_s, time_s, bore_m);
    (FRAC_2_PI * (x.acos() - x * (1.0 - x * x).sqrt())).clamp(0.0, 1.0)
}

/// Share, 1 to 0, of particles spread evenly through a tank with upright walls that are still suspended after
/// standing for `time_s` (>= 0), all falling at `velocity_m_s` (rising, if negative) through `depth_m` (> 0).
pub fn still_suspended_in_depth(velocity_m_s: f64, time_s: f64, depth_m: f64) -> f64 {
    1.0 - fallen(velocity_m_s, time_s, depth_m)
}

/// Way fallen over `height_m`, 0 to 1.
fn fallen(velocity_m_s: f64, time_s: f64, height_m: f64) -> f64 {
    (velocity_m_s.abs() * time_s / height_m).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluids::water;
    use approx::assert_relative_eq;

    const CHALK: Particles = Particles { diameter_m: 1e-5, density_kg_m3: 2600.0, share: 0.01 };

    #[test]
    fn twice_the_diameter_falls_four_times_as_fast() {
        let coarse = Particles { diameter_m: 2e-5, ..CHALK };
        let water = water(20.0);
        let ratio = coarse.stokes_velocity(&water) / CHALK.stokes_velocity(&water);
        assert_relative_eq!(ratio, 4.0, max_relative = 1e-12);
        let ratio = coarse.particle_reynolds(&water) / CHALK.particle_reynolds(&water);
        assert_relative_eq!(ratio, 8.0, max_relative = 1e-12);
    }

    #[test]
    fn a_particle_as_dense_as_the_liquid_hangs_and_a_lighter_one_rises() {
        let water = water(20.0);
        let level = Particles { density_kg_m3: water.density_kg_m3, ..CHALK };
        assert_eq!(level.stokes_velocity(&water), 0.0);
        assert_eq!(level.pick_up_velocity(&water, 0.02), 0.0);
        let light = Particles { density_kg_m3: 900.0, ..CHALK };
        assert!(light.hindered_velocity(&water) < 0.0);
        assert!(light.particle_reynolds(&water) > 0.0);
        assert!(still_suspended_in_bore(light.hindered_velocity(&water), 600.0, 0.02) < 1.0);
    }

    #[test]
    fn one_percent_of_solids_slows_settling_by_four_to_five_percent() {
        let water = water(20.0);
        let slowed = 1.0 - CHALK.hindered_velocity(&water) / CHALK.stokes_velocity(&water);
        assert!((0.04..0.05).contains(&slowed), "{slowed}");
    }

    #[test]
    fn all_is_suspended_at_first_and_nothing_after_falling_through() {
        for still in [still_suspended_in_bore, still_suspended_in_depth] {
            assert_relative_eq!(still(1e-4, 0.0, 0.02), 1.0, max_relative = 1e-15);
            assert_relative_eq!(still(0.0, 1e6, 0.02), 1.0, max_relative = 1e-15);
            for time_s in [200.001, 400.0, 1e9] {
                assert_eq!(still(1e-4, time_s, 0.02), 0.0);
            }
        }
        assert_relative_eq!(still_suspended_in_depth(1e-4, 50.0, 0.02), 0.75);
    }

    #[test]
    fn without_solids_nothing_needs_picking_up() {
        let none = Particles { share: 0.0, ..CHALK };
        assert_eq!(none.pick_up_velocity(&water(20.0), 0.02), 0.0);
    }
}
