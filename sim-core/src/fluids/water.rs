//! Water at atmospheric pressure, 0 to 50 degC.

/// Lowest and highest temperature the formulas hold for, degC.
pub(crate) const RANGE_C: (f64, f64) = (0.0, 50.0);

/// Density of water, kg/m3, at `celsius` from 0 to 50 degC.
///
/// G. S. Kell, *J. Chem. Eng. Data* 20, 97 (1975); within 0.01 kg/m3 of IAPWS-95.
pub fn density(celsius: f64) -> f64 {
    let t = celsius;
    let top = 999.839_52
        + t * (16.945_176
            + t * (-7.987_040_1e-3
                + t * (-46.170_461e-6 + t * (105.563_02e-9 - t * 280.542_53e-12))));
    top / (1.0 + 16.879_850e-3 * t)
}

/// Dynamic viscosity of water, Pa s, at `celsius` from 0 to 50 degC.
///
/// Vogel's form fitted to the IAPWS viscosity release R12-08; within 0.23 % of it.
pub fn viscosity(celsius: f64) -> f64 {
    (-10.215_950_12 + 444.663_957_2 / (celsius + 273.15 - 158.810_736_7)).exp()
}

/// Vapour pressure of water, Pa absolute, at `celsius` from 0 to 50 degC.
///
/// A. L. Buck, *J. Appl. Meteorol.* 20, 1527 (1981), coefficients of 1996; within 0.05 % of IAPWS-95.
pub fn vapour_pressure(celsius: f64) -> f64 {
    611.21 * ((18.678 - celsius / 234.5) * (celsius / (257.14 + celsius))).exp()
}

/// Surface tension of water against air, N/m, at `celsius` from 0 to 50 degC.
///
/// IAPWS release R1-76 on the surface tension of ordinary water, constants from memory.
pub fn surface_tension(celsius: f64) -> f64 {
    let below_critical = 1.0 - (celsius + 273.15) / 647.096;
    0.2358 * below_critical.powf(1.256) * (1.0 - 0.625 * below_critical)
}
