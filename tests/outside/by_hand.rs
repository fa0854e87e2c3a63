//! Laws written out here, apart from the product: the published side of checks is computed with them.

use std::f64::consts::PI;

/// Gas constant of dry air times 20 degC, J/kg.
pub(crate) const RT: f64 = 287.05 * 293.15;
/// Density to which ISO 6358 refers conductance, kg/m3.
const ISO_DENSITY: f64 = 1.185;

/// Darcy's factor: 64/Re up to 2000, from 4000 on C. F. Colebrook (1939), a straight line between.
pub(crate) fn darcy(reynolds: f64, relative_roughness: f64) -> f64 {
    let turbulent = ((reynolds - 2000.0) / 2000.0).clamp(0.0, 1.0);
    let laminar = 64.0 / reynolds.clamp(1e-3, 2000.0);
    if turbulent == 0.0 {
        return laminar;
    }
    (1.0 - turbulent) * laminar + turbulent * colebrook(reynolds.max(4000.0), relative_roughness)
}

/// Colebrook's factor by repetition, each of which cuts the error to a tenth or less.
fn colebrook(reynolds: f64, relative_roughness: f64) -> f64 {
    let mut root = 0.15;
    for _ in 0..20 {
        let inside: f64 = relative_roughness / 3.7 + 2.51 / (reynolds * root);
        root = -0.5 / inside.log10();
    }
    root * root
}

/// Friction and losses of `flow` (m3/s, either way) through a round line, Pa.
pub(crate) fn line_loss(of: &RoundLine, flow: f64) -> f64 {
    let velocity = flow / (PI / 4.0 * of.bore_m * of.bore_m);
    let reynolds = of.density * velocity.abs() * of.bore_m / of.viscosity;
    let factor = of.fixed.unwrap_or_else(|| darcy(reynolds, of.roughness_m / of.bore_m));
    let resistance = factor * of.length_m / of.bore_m + of.losses;
    0.5 * resistance * of.density * velocity * velocity.abs()
}

/// What [`line_loss`] needs: sizes in m, density in kg/m3, viscosity in Pa s, and Darcy's factor where it is fixed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RoundLine {
    pub bore_m: f64,
    pub length_m: f64,
    pub roughness_m: f64,
    pub losses: f64,
    pub fixed: Option<f64>,
    pub density: f64,
    pub viscosity: f64,
}

/// Share of a circle below a level at `depth` bores.
pub(crate) fn segment(depth: f64) -> f64 {
    let angle = 2.0 * (1.0 - 2.0 * depth).acos();
    (angle - angle.sin()) / (2.0 * PI)
}

/// Mass flow through a part of `conductance` (m3/(s Pa)) and critical ratio `b` by ISO 6358 at 20 degC, kg/s.
pub(crate) fn iso_6358(conductance: f64, b: f64, upstream_pa: f64, downstream_pa: f64) -> f64 {
    let over = ((downstream_pa / upstream_pa - b) / (1.0 - b)).clamp(0.0, 1.0);
    conductance * ISO_DENSITY * upstream_pa * (1.0 - over * over).sqrt()
}

/// Choked flow of air of 20 degC without friction over area and pressure, s/m.
pub(crate) fn choked_flux_over_pressure() -> f64 {
    (1.4 / RT).sqrt() * (2.0f64 / 2.4).powf(3.0)
}

/// Share of the choked flow that passes an ideal hole at a pressure `ratio` above the critical one.
pub(crate) fn isentropic_share(ratio: f64) -> f64 {
    let flux = |r: f64| (r.powf(2.0 / 1.4) - r.powf(2.4 / 1.4)).sqrt();
    flux(ratio) / flux((2.0f64 / 2.4).powf(3.5))
}

/// Lockhart and Martinelli's parameter of a holdup by D. Butterworth's curve (1975; 0.28 and 0.71 from memory).
pub(crate) fn butterworth_parameter(holdup: f64) -> f64 {
    (holdup / (0.28 * (1.0 - holdup))).powf(1.0 / 0.71)
}

/// Sonic conductance of an ideal hole, m3/(s Pa) for each m2.
pub(crate) fn conductance_of_area() -> f64 {
    choked_flux_over_pressure() / ISO_DENSITY
}
