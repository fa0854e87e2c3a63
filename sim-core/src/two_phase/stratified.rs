//! How deep does liquid are in a line under air that drags it along?
//!
//! The balance of Y. Taitel & A. E. Dukler, *AIChE J.* 22, 47 (1976), for a flat surface in a round line.
//! Lengths are over the bore, areas over its square, velocities over the superficial ones.

use std::f64::consts::PI;

/// Halvings that bring an angle in 0 to pi to machine precision.
const HALVINGS: usize = 60;
/// Stretches of the angle searched for the shallowest balance.
const STRETCHES: usize = 256;

/// Share of a round cross-section below `level` (depth over bore, 0 to 1).
pub fn area_share(level: f64) -> f64 {
    Level::at(level).liquid_area * 4.0 / PI
}

/// Depth over bore at which `share` (0 to 1) of a round cross-section is filled.
pub fn level(share: f64) -> f64 {
    let wanted = PI / 4.0 * share.clamp(0.0, 1.0);
    let angle = first_change(0.0, PI, |angle| segment(angle) < wanted);
    depth(angle)
}

/// Geometry of a flat surface in a round line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Cross-section of the liquid over bore squared, 0 to pi/4.
    pub liquid_area: f64,
    /// Cross-section of the air over bore squared, 0 to pi/4.
    pub gas_area: f64,
    /// Wetted wall over bore, 0 to pi.
    pub liquid_wall: f64,
    /// Dry wall over bore, 0 to pi.
    pub gas_wall: f64,
    /// Width of the surface over bore, 0 to 1.
    pub surface: f64,
}

impl Level {
    /// The geometry at depth over bore `level`, 0 to 1.
    pub fn at(level: f64) -> Self {
        Self::of_angle(2.0 * level.clamp(0.0, 1.0).sqrt().asin())
    }

    /// The geometry where the surface is seen from the axis under twice `angle`, 0 to pi.
    fn of_angle(angle: f64) -> Self {
        Self {
            liquid_area: segment(angle),
            gas_area: segment(PI - angle),
            liquid_wall: angle,
            gas_wall: PI - angle,
            surface: angle.sin(),
        }
    }
}

/// What decides the depth of a layer in equilibrium.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stratified {
    /// Lockhart & Martinelli's parameter: root of the pressure gradient of the liquid alone over that of
    /// the air alone, > 0.
    pub martinelli: f64,
    /// Weight of the liquid less the air along the line over the pressure gradient of the air alone;
    /// positive downhill.
    pub slope: f64,
    /// Exponent of the Reynolds number in the friction of the liquid: 0.2 turbulent, 1 laminar.
    pub liquid_exponent: f64,
    /// The same of the air.
    pub gas_exponent: f64,
    /// Friction factor at the surface over that of the air at the wall: 1 in the original, 5 to 10 where
    /// waves are on it.
    pub surface_factor: f64,
}

impl Stratified {
    /// A level line in which both flow turbulent over a smooth surface, with Lockhart & Martinelli's
    /// parameter `martinelli` (> 0).
    pub fn turbulent(martinelli: f64) -> Self {
        Self {
            martinelli,
            slope: 0.0,
            liquid_exponent: 0.2,
            gas_exponent: 0.2,
            surface_factor: 1.0,
        }
    }

    /// Depth over bore in equilibrium, 0 to 1. Uphill up to three depths may balance; this is the
    /// shallowest.
    pub fn level(&self) -> f64 {
        let stretch = PI / STRETCHES as f64;
        let too_shallow = |angle: f64| self.excess(angle) > 0.0;
        // Without depth, wall friction of the liquid has no bound: the search starts too shallow.
        let end = (1..STRETCHES).map(|i| i as f64 * stretch).find(|angle| !too_shallow(*angle));
        let end = end.unwrap_or(PI);
        depth(first_change(end - stretch, end, too_shallow))
    }

    /// What drags the liquid back less what drags it on, at half the angle of the surface.
    fn excess(&self, angle: f64) -> f64 {
        let at = Level::of_angle(angle);
        let (liquid_velocity, gas_velocity) = (PI / 4.0 / at.liquid_area, PI / 4.0 / at.gas_area);
        let liquid_bore = 4.0 * at.liquid_area / at.liquid_wall;
        let gas_bore = 4.0 * at.gas_area / (at.gas_wall + at.surface);
        let back = self.martinelli.powi(2)
            * (liquid_velocity * liquid_bore).powf(-self.liquid_exponent)
            * liquid_velocity.powi(2)
            * at.liquid_wall
            / at.liquid_area;
        let on = (gas_velocity * gas_bore).powf(-self.gas_exponent)
            * gas_velocity.powi(2)
            * (at.gas_wall / at.gas_area
                + self.surface_factor * at.surface * (1.0 / at.liquid_area + 1.0 / at.gas_area));
        back - on - 4.0 * self.slope
    }
}

/// Depth over bore where the surface is seen under twice `angle`.
fn depth(angle: f64) -> f64 {
    (0.5 * angle).sin().powi(2)
}

/// Area over bore squared of the segment under twice `angle`.
fn segment(angle: f64) -> f64 {
    if angle < 0.02 {
        // The difference below cancels; three terms of its series are exact to 1e-11.
        let square = angle * angle;
        return angle * square / 6.0 * (1.0 - square * (0.2 - square * 2.0 / 105.0));
    }
    0.25 * (angle - angle.sin() * angle.cos())
}

/// Where `before` ceases to hold between `low` and `high`.
fn first_change(mut low: f64, mut high: f64, before: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if before(middle) { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}
