//! Tip sizes after ISO 10625.

/// A tip size: the code counts tenths of a US gallon a minute at 40 psi; the ISO nominal flow is
/// 4 L/min at 3 bar for each whole unit. The two nominals differ by 1.3 %; this table is the ISO one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TipSize {
    /// Code as written on the tip.
    pub code: &'static str,
    /// Nominal flow of water at 3 bar, L/min.
    pub litres_per_minute: f64,
    /// Colour after ISO 10625, if one is given here.
    pub colour: Option<&'static str>,
}

/// Pressure of the nominal flow, Pa.
pub const NOMINAL_PRESSURE_PA: f64 = 3e5;

const fn size(code: &'static str, flow: f64, colour: Option<&'static str>) -> TipSize {
    TipSize { code, litres_per_minute: flow, colour }
}

/// The sizes, small to large. Colours and flows of 01 to 08 were read on published tables; 005, 0067,
/// 0075, 035 and 10 to 20 are from memory.
pub const TIP_SIZES: [TipSize; 17] = [
    size("005", 0.2, None),
    size("0067", 0.267, None),
    size("0075", 0.3, Some("pink")),
    size("01", 0.4, Some("orange")),
    size("015", 0.6, Some("green")),
    size("02", 0.8, Some("yellow")),
    size("025", 1.0, Some("lilac")),
    size("03", 1.2, Some("blue")),
    size("035", 1.4, None),
    size("04", 1.6, Some("red")),
    size("05", 2.0, Some("brown")),
    size("06", 2.4, Some("grey")),
    size("08", 3.2, Some("white")),
    size("10", 4.0, Some("light blue")),
    size("12", 4.8, None),
    size("15", 6.0, Some("light green")),
    size("20", 8.0, Some("black")),
];

/// The size of `code`.
pub fn tip_size(code: &str) -> Option<&'static TipSize> {
    TIP_SIZES.iter().find(|size| size.code == code)
}

impl TipSize {
    /// Nominal flow, m3/s.
    pub fn flow_m3_s(&self) -> f64 {
        self.litres_per_minute * 1e-3 / 60.0
    }
}
